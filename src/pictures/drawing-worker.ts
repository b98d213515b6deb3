/** Runs in a thread of its own: draws pictures. */
import { answerQuestions } from '../threads/answer-questions.js';
import { type Drawing, drawnHere } from './pictures.js';

answerQuestions<Drawing, Uint8Array>((drawing) =>
  drawing.kind === 'yields' ? drawnHere.yields(drawing.picture) : drawnHere.scatter(drawing.picture),
);
