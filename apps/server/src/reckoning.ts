import { answerQuestions } from './answers/thread.ts';

// A program of its own, run on threads beside the server: it loads no database driver, which is not made for several
// threads of one process.
answerQuestions();
