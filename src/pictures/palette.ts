/** Set tallow on brown paper: opaque, so that it reads the same in dark and in light surroundings. */
export const PALETTE = {
  paper: '#f6efdf',
  ink: '#2f261d',
  faintInk: '#7c6c58',
  rule: '#dccfb4',
  /** Single batches, behind everything. */
  batch: '#b98b4e',
  /** A mean and its interval. */
  mean: '#5b2a16',
  /** Somebody's own. */
  own: '#2c6470',
} as const;
