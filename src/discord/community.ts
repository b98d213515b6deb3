/** A server is a community; in direct messages everybody is a community of their own. */
export function communityOf(guildId: string | null, userId: string): string {
  return guildId ?? `direct-${userId}`;
}
