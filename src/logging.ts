import pino from 'pino';

/** One JSON line an event on standard error; nothing that could be a secret gets through. */
export function openLog(level: string): pino.Logger {
  return pino(
    {
      level,
      redact: {
        paths: [
          'token',
          '*.token',
          'password',
          '*.password',
          'connectionString',
          '*.connectionString',
          'headers',
        ],
        censor: '[hidden]',
      },
      serializers: {
        error: (error: unknown) =>
          error instanceof Error ? pino.stdSerializers.err(withoutSecrets(error)) : String(error),
      },
    },
    destination(),
  );
}

/** Standard error; that nobody reads it any more is no reason to end, for there is nobody to tell. */
function destination(): ReturnType<typeof pino.destination> {
  const opened = pino.destination({ fd: 2, sync: true });
  opened.on('error', () => {});
  return opened;
}

/** Errors of the database client may quote a connection string. Of an error and what caused it the words and codes remain. */
function withoutSecrets(error: Error): Error {
  const hide = (text: string) => text.replace(/(postgres(?:ql)?:\/\/[^:@\s]*:)[^@\s]*@/g, '$1[hidden]@');
  const { cause } = error;
  const clean = new Error(
    hide(error.message),
    cause instanceof Error ? { cause: withoutSecrets(cause) } : {},
  );
  clean.name = error.name;
  if (error.stack !== undefined) clean.stack = hide(error.stack);
  return 'code' in error ? Object.assign(clean, { code: error.code }) : clean;
}
