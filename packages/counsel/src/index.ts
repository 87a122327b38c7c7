export * from './course/answer.ts';
export { courseOf, neverFedWarning } from './course/course.ts';
export { doubtWords, readingWords } from './course/doubts.ts';
export { type PredictOptions, predict } from './course/predict.ts';
export { type Reckoning, type ReckonOptions, reckon, usualHorizonDays } from './course/reckon.ts';
export { dateWords, inTen, type Wording } from './course/sentence.ts';
export { doseWords, sheetOf } from './course/sheet.ts';
export { stageOf } from './course/stage.ts';
export { type Situation, SituationError, situationOf } from './situation/situation.ts';
