// The thread that draws pictures, from its TypeScript source.
import { runThread } from './typescript-thread.mjs';

await runThread('/src/pictures/drawing-worker.ts');
