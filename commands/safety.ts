import { command, deed } from '../src/chat/command.js';
import { choice } from '../src/chat/options.js';
import { reply } from '../src/chat/reply.js';
import {
  CAUTIONS,
  cautionInFull,
  cautionsAbout,
  SAFETY_TOPICS,
  type SafetyTopic,
} from '../src/trade/cautions.js';
import { sourceLines } from './sources-shown.js';

const DESCRIPTION = 'What to be careful about, with sources';

/** `/safety`: every caution there is, by topic. */
export function safety() {
  return command({
    name: 'safety',
    description: DESCRIPTION,
    deeds: deed({
      description: DESCRIPTION,
      audience: 'only you',
      options: {
        topic: choice({ description: 'What about', required: false, choices: SAFETY_TOPICS }),
      },
      run: ({ topic }) => (topic === undefined ? overview() : explain(topic)),
    }),
  });
}

function overview() {
  return reply({
    title: 'Hot fat, in short',
    audience: 'only you',
    lines: [
      'Good practice from published advice, not law. Your appliance’s manual, your local fire and food-safety authorities, and licensed practice come first.',
      ...SAFETY_TOPICS.map(({ value, label }) => {
        const [gravest] = cautionsAbout(value);
        return `${label}: ${gravest?.short ?? ''}`;
      }),
      'More on one of them: /safety topic:fire',
    ],
    sources: sourceLines(SAFETY_TOPICS.flatMap(({ value }) => cautionsAbout(value)[0]?.sources ?? [])),
    figures: { cautions: CAUTIONS.length },
  });
}

function explain(topic: SafetyTopic) {
  const cautions = cautionsAbout(topic);
  const label = SAFETY_TOPICS.find(({ value }) => value === topic)?.label ?? topic;
  return reply({
    title: `Take care: ${label.toLowerCase()}`,
    audience: 'only you',
    lines: cautions.map(cautionInFull),
    sources: sourceLines(cautions.flatMap(({ sources }) => sources)),
    figures: { cautions: cautions.length },
  });
}
