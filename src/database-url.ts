/** How the way to the database is protected. */
export const SSL_WORDS = ['off', 'on', 'verify'] as const;
export type DatabaseSsl = (typeof SSL_WORDS)[number];

/** What `sslmode` in an address may say, in the words of libpq (PostgreSQL manual, 34.19 SSL Support). */
const SSLMODES: Readonly<Record<string, DatabaseSsl>> = {
  disable: 'off',
  require: 'on',
  'no-verify': 'on',
  'verify-ca': 'verify',
  'verify-full': 'verify',
};

/** What the database client is told for each; of its own words these alone mean the same in all its versions. */
const SAID_TO_CLIENT: Readonly<Record<DatabaseSsl, string>> = {
  off: 'disable',
  on: 'no-verify',
  verify: 'verify-full',
};

const OURS = ['sslmode', 'ssl', 'sslrootcert', 'uselibpqcompat'];
const NOT_KNOWN = ['sslcert', 'sslkey', 'sslpassword', 'sslcrl'];

export interface SslSettings {
  readonly ssl?: DatabaseSsl | undefined;
  /** A file with the certificates to trust instead of the usual authorities. */
  readonly ca?: string | undefined;
}

export type ReadDatabaseUrl =
  | { readonly ok: true; readonly url: string }
  | { readonly ok: false; readonly problem: string };

/**
 * The address of the database with its protection said once and plainly, whether it was asked for in the address or by
 * settings. Problems quote nothing of the address.
 */
export function databaseUrl(address: string, { ssl, ca }: SslSettings): ReadDatabaseUrl {
  const refuse = (problem: string): ReadDatabaseUrl => ({ ok: false, problem });
  const parameters = new URL(address).searchParams;
  const unknown = NOT_KNOWN.find((name) => parameters.has(name));
  if (unknown !== undefined)
    return refuse(`DATABASE_URL asks for ${unknown}, and the bot shows no certificate of its own`);
  const inAddress = sslOf(parameters);
  if (inAddress === 'unclear')
    return refuse('DATABASE_URL has an sslmode that should be disable, require or verify-full');
  if (inAddress !== undefined && ssl !== undefined && inAddress !== ssl)
    return refuse(
      `DATABASE_SSL says ${ssl} and the sslmode in DATABASE_URL says ${inAddress}; leave one of them out`,
    );
  const caInAddress = parameters.get('sslrootcert') ?? undefined;
  if (caInAddress !== undefined && ca !== undefined && caInAddress !== ca)
    return refuse('DATABASE_SSL_CA and the sslrootcert in DATABASE_URL differ; leave one of them out');
  const trusted = ca ?? caInAddress;
  const wanted = ssl ?? inAddress ?? (trusted === undefined ? undefined : 'verify');
  if (trusted !== undefined && wanted !== 'verify')
    return refuse('DATABASE_SSL_CA is used with DATABASE_SSL=verify only');
  if (wanted === undefined) return { ok: true, url: address };
  return { ok: true, url: withSsl(address, wanted, trusted) };
}

function sslOf(parameters: URLSearchParams): DatabaseSsl | 'unclear' | undefined {
  const mode = parameters.get('sslmode');
  if (mode !== null) return Object.hasOwn(SSLMODES, mode) ? SSLMODES[mode] : 'unclear';
  // A word of the database client, which checks the certificate then.
  const switched = parameters.get('ssl');
  if (switched === null) return undefined;
  if (switched === 'true' || switched === '1') return 'verify';
  return switched === 'false' || switched === '0' ? 'off' : 'unclear';
}

function withSsl(address: string, ssl: DatabaseSsl, ca: string | undefined): string {
  // The client would read a stray percent sign as a sign that nothing is encoded yet.
  const url = new URL(address.replace(/%(?![0-9a-f]{2})/gi, '%25'));
  for (const name of OURS) url.searchParams.delete(name);
  url.searchParams.set('sslmode', SAID_TO_CLIENT[ssl]);
  if (ca !== undefined) url.searchParams.set('sslrootcert', ca);
  return url.toString();
}
