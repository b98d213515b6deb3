import type { Command } from '../src/chat/command.js';
import { drawnHere, type Pictures } from '../src/pictures/pictures.js';
import type { Records } from '../src/records/database.js';
import { type Compose, composingWith } from '../src/weekly/post.js';
import { batch } from './batch.js';
import { blend } from './blend.js';
import { burn } from './burn.js';
import { buy } from './buy.js';
import { fire } from './fire.js';
import { help } from './help.js';
import { keep } from './keep.js';
import { kit } from './kit.js';
import { now } from './now.js';
import { plan } from './plan.js';
import { safety } from './safety.js';
import { settings } from './settings.js';
import { smoke } from './smoke.js';
import { tasting } from './tasting.js';
import { trouble } from './trouble.js';
import { water } from './water.js';
import { weekly } from './weekly.js';
import { yieldCommand } from './yield.js';

/**
 * Every command, listed by hand: a forgotten or broken one is a compile error.
 * @param compose composes the weekly post, in this thread unless said otherwise
 * @param pictures draws pictures, in this thread unless said otherwise
 */
export function allCommands(
  db: Records,
  compose: Compose = composingWith(db),
  pictures: Pictures = drawnHere,
): readonly Command[] {
  const commands: readonly Command[] = [
    ...urgentCommands(),
    water(db),
    plan(db),
    blend(db),
    smoke(db),
    batch(db),
    yieldCommand(db, pictures),
    tasting(db, pictures),
    weekly(db, compose),
    buy(db),
    keep(db),
    trouble(),
    kit(db),
    safety(db),
    settings(db),
    help(() => commands),
  ];
  return commands;
}

/** Those that need no records. */
export const urgentCommands = (): readonly Command[] => [now(), fire(), burn()];
