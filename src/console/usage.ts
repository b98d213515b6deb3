/** What `npm start -- --help` prints. */
export const USAGE = `The bot talks on Discord when DISCORD_TOKEN is set, and here otherwise.

  npm start                                        a conversation; /help lists the commands
  npm start --silent -- '/water fat:"4 lb"'        answers and ends; several lines may follow one another
  npm start --silent -- analyse FILE.csv           analyses batches kept in a spreadsheet
  npm run backup -- FILE                           writes everything into a file, also while the bot runs
  npm run restore -- FILE                          puts it back, into an empty database

  --as NAME            who is speaking; Cook unless said
  --community NAME     whose records; home unless said
  --admin              speak as somebody who manages the community
  --demo               an invented community, filled afresh and kept apart from yours: a walk through the main job, or
                       your lines answered
  --data FOLDER        where records and pictures are kept
  --now MOMENT         pretend it is then, such as 2026-03-01T18:00:00Z
  --json               one JSON object a line instead of words
  --skip-bad           with analyse: use the lines that can be read
  --help               this
`;
