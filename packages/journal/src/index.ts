export { canonicalText, lineOf, sameContent } from './entry/canonical.ts';
export { BASES_OF } from './entry/chemistry.ts';
export { ANIMAL_CLASSES, isAnimalClass } from './entry/classes.ts';
export { newEntryId, newTankId } from './entry/id.ts';
export { instantMs, instantText } from './entry/instant.ts';
export * from './entry/kinds.ts';
export { byHappening, byWriting, type Dated, dated, groupedByTank } from './entry/order.ts';
export { type Problem, type ProblemCode, sayProblem } from './entry/problem.ts';
export { bodyProblems, type Checked, checkEntry, entryOfLine } from './entry/validate.ts';
export {
  JOURNAL_VERSION,
  JournalError,
  type JournalReader,
  journalReader,
  type LineRead,
  type ParsedJournal,
  parseJournal,
} from './exchange/parse.ts';
export { journalJsonSchema } from './exchange/schema.ts';
export { journalHeader, writeJournal } from './exchange/write.ts';
export { entriesAsOf } from './fold/asOf.ts';
export { contradictsKit } from './fold/doubts.ts';
export type { DoubtCode, FactDoubt, Stamped, TankFacts } from './fold/facts.ts';
export { foldAhead, foldInSteps, foldJournal, foldTank } from './fold/fold.ts';
export { factsOf, type JournalState, nothing, step } from './fold/step.ts';
export * from './port.ts';
export { type Peer, type Pushed, storePeer } from './sync/peer.ts';
export { type SyncPlaces, type SyncReport, synchronise, type TankPlaces } from './sync/synchronise.ts';
export {
  answerWire,
  type Carry,
  isWireVerb,
  WIRE_VERSION,
  WireError,
  type WireVerb,
  wireAnswers,
  wirePeer,
  wireRequests,
} from './sync/wire.ts';
export { asNitrogen, fromNitrogen, MOLAR_MASS } from './units/nitrogen.ts';
