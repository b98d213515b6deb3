import { z } from 'zod';
import { actionId, button, noArguments, wholeNumberIn } from '../../src/chat/action.js';
import { command, formOf, handler, subcommand } from '../../src/chat/command.js';
import { wholeNumber, words } from '../../src/chat/options.js';
import { refusal, reply } from '../../src/chat/reply.js';

/** Commands that do one thing each, to see what an adapter makes of it. */

const later = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));
/** Longer than an adapter waits before it shows a waiting notice. */
const A_WHILE_MS = 2000;

const note = { note: words({ description: 'What to note', required: true, maxLength: 100, example: 'it' }) };
const noteForm = () => formOf('v1|note', 'A note', note, { note: 'begun' });

export const echo = command({
  name: 'echo',
  description: 'Says it again',
  subcommands: subcommand({
    description: 'Says it again',
    options: {
      text: words({ description: 'What to say', required: true, maxLength: 4000, example: 'hello' }),
    },
    run: ({ text }, { community, member, where }) =>
      reply({ title: text, lines: [text, `# ${text}`, `${member.name} in ${community}, ${where}`] }),
  }),
});

const answers = {
  reply: () => reply({ title: 'Here', lines: ['an answer'] }),
  private: () => reply({ title: 'Here', lines: ['for one'], audience: 'only you' }),
  refusal: () => refusal('No', 'Not today.'),
  form: noteForm,
} as const;

const subcommandThat = (answer: keyof typeof answers, audience: 'everyone' | 'only you', ms: number) =>
  subcommand({
    description: 'Answers',
    options: {},
    audience,
    run: async () => {
      if (ms > 0) await later(ms);
      return answers[answer]();
    },
  });

export const quick = command({
  name: 'quick',
  description: 'Answers at once',
  subcommands: {
    reply: subcommandThat('reply', 'everyone', 0),
    private: subcommandThat('private', 'everyone', 0),
    refusal: subcommandThat('refusal', 'everyone', 0),
    form: subcommandThat('form', 'everyone', 0),
  },
  handlers: {
    note: handler({
      audience: 'everyone',
      args: noArguments,
      fields: note,
      press: (_args, { note: written }) => {
        if (written === 'again') return noteForm();
        return written === undefined
          ? refusal('What?', 'A note.')
          : reply({ title: 'Noted', lines: [written] });
      },
    }),
  },
});

/** Late answers; for half of them the waiting notice is for other eyes than the answer. */
export const slow = command({
  name: 'slow',
  description: 'Takes its time',
  subcommands: {
    reply: subcommandThat('reply', 'everyone', A_WHILE_MS),
    shared: subcommandThat('reply', 'only you', A_WHILE_MS),
    private: subcommandThat('private', 'everyone', A_WHILE_MS),
    refusal: subcommandThat('refusal', 'everyone', A_WHILE_MS),
    form: subcommandThat('form', 'everyone', A_WHILE_MS),
  },
});

export const pick = command({
  name: 'pick',
  description: 'Offers a button and numbers',
  subcommands: subcommand({
    description: 'Offers a button',
    options: {
      number: wholeNumber({
        description: 'Which',
        required: false,
        least: 1,
        most: 99,
        example: '7',
        suggests: true,
      }),
    },
    run: () => reply({ title: 'Pick', lines: [], actions: [button('Seven', actionId('pick.number', 7))] }),
    suggest: async (_option, typed) => {
      if (typed === '9') await later(5000);
      return ['1', '12', 'x', '17'].map((value) => ({ value, label: `${typed}? ${value}` }));
    },
  }),
  handlers: {
    'pick.number': handler({
      audience: 'everyone',
      args: z.tuple([wholeNumberIn(1, 99)]),
      press: ([number]) => reply({ title: `Picked ${number}`, audience: 'only you', lines: [] }),
    }),
  },
});

export const broken = command({
  name: 'broken',
  description: 'Has a fault',
  subcommands: subcommand({
    description: 'Has a fault',
    options: {},
    run: () => {
      throw new Error('a private detail');
    },
  }),
});

/** Keeps the whole process from doing anything else until Discord no longer takes an answer. */
export const busy = command({
  name: 'busy',
  description: 'Blocks',
  subcommands: subcommand({
    description: 'Blocks',
    options: {},
    run: () => {
      const until = Date.now() + 3200;
      while (Date.now() < until);
      return reply({ title: 'At last', lines: [] });
    },
  }),
});

/** Stores something, and says so at once or after a while. */
export const keep = command({
  name: 'keep',
  description: 'Stores something',
  subcommands: {
    ...Object.fromEntries(
      (['everyone', 'only you'] as const).flatMap((audience) =>
        [0, A_WHILE_MS].map((ms) => [
          `${ms > 0 ? 'slow' : 'quick'}-${audience === 'everyone' ? 'shared' : 'private'}`,
          subcommand({
            description: 'Stores something',
            options: {},
            audience: 'everyone',
            stores: true,
            async run(_values, { saved }) {
              saved('Batch 12 is saved');
              if (ms > 0) await later(ms);
              return reply({ title: 'Batch 12', lines: ['50 %'], audience });
            },
          }),
        ]),
      ),
    ),
    'slow-nothing': subcommand({
      description: 'Could store something, and asks first',
      options: {},
      audience: 'everyone',
      stores: true,
      async run() {
        await later(A_WHILE_MS);
        return reply({ title: 'Is it another batch?', lines: [] });
      },
    }),
  },
});

export const manage = command({
  name: 'manage',
  description: 'For those who manage',
  who: 'managers',
  where: 'server',
  subcommands: subcommand({
    description: 'For those who manage',
    options: {},
    run: () =>
      reply({ title: 'Managed', lines: [], actions: [button('Change it', actionId('manage.change'))] }),
  }),
  handlers: {
    'manage.change': handler({
      who: 'managers',
      audience: 'only you',
      args: noArguments,
      press: () => reply({ title: 'Changed', audience: 'only you', lines: [] }),
    }),
  },
});

export const smallCommands = [echo, quick, slow, pick, broken, busy, keep, manage] as const;
