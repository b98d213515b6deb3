import { command, deed } from '../src/chat/command.js';
import { choice } from '../src/chat/options.js';
import { reply } from '../src/chat/reply.js';
import {
  CAUTIONS,
  type Caution,
  cautionInFull,
  cautionsAbout,
  SAFETY_TOPICS,
  type SafetyTopic,
} from '../src/trade/cautions.js';
import { allSourceLines, sourceLines } from './shared/sources-shown.js';

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
        return `${label}: ${mainCaution(value)?.short ?? ''}`;
      }),
      'More on one of them: /safety topic:fire',
    ],
    sources: sourceLines(SAFETY_TOPICS.flatMap(({ value }) => mainCaution(value)?.sources ?? [])),
    figures: { cautions: CAUTIONS.length },
  });
}

/** The gravest caution that is about this topic before any other. */
function mainCaution(topic: SafetyTopic): Caution | undefined {
  const cautions = cautionsAbout(topic);
  return cautions.find(({ topics }) => topics[0] === topic) ?? cautions[0];
}

function explain(topic: SafetyTopic) {
  const cautions = cautionsAbout(topic);
  const label = SAFETY_TOPICS.find(({ value }) => value === topic)?.label ?? topic;
  return reply({
    title: `Take care: ${label.toLowerCase()}`,
    audience: 'only you',
    lines: cautions.map(cautionInFull),
    sources: allSourceLines(cautions.flatMap(({ sources }) => sources)),
    figures: { cautions: cautions.length },
  });
}
