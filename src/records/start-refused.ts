/** Why the bot cannot start here, in one line for the person who started it. */
export class StartRefused extends Error {
  override readonly name: string = 'StartRefused';
  constructor(
    message: string,
    /** Whether the same may work a little later with nothing changed here. */
    readonly mayPass = false,
  ) {
    super(message);
  }
}

/** Another copy of the bot is using the folder. */
export class DataFolderBusy extends StartRefused {
  override readonly name = 'DataFolderBusy';
  constructor(dataDir: string) {
    super(`Another copy of the bot is using ${dataDir}. Stop it, or choose another folder with --data.`);
  }
}
