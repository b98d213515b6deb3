// The thread that writes weekly posts, from its TypeScript source.
import { runThread } from './typescript-thread.mjs';

await runThread('/src/weekly/worker.ts');
