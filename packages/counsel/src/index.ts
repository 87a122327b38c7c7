export * from './buffering/alkalinity.ts';
export * from './buffering/minerals.ts';
export { DEPOSITS_ABOVE, daysFor, safeStepPerDay } from './buffering/safe-steps.ts';
export { type Caution, type CautionId, cautions, cautionsFor } from './cautions/cautions.ts';
export * from './course/answer.ts';
export { courseOf, neverFedWarning } from './course/course.ts';
export { doubtWords, readingWords } from './course/doubts.ts';
export { type KitLore, learnKits } from './course/lore.ts';
export { type PredictOptions, predict } from './course/predict.ts';
export {
  type Reckoning,
  type ReckonOptions,
  reckon,
  settleAhead,
  usualHorizonDays,
} from './course/reckon.ts';
export { dateWords, type Wording } from './course/sentence.ts';
export { doseWords, sheetOf } from './course/sheet.ts';
export { stageOf } from './course/stage.ts';
export { type Alternative, type Idea, ideasOf, whatIf } from './course/what-if.ts';
export { InputFault } from './input-fault.ts';
export * from './instruments/conductivity.ts';
export * from './instruments/gravity.ts';
export * from './instruments/refractometer.ts';
export { blend, type Water } from './mixing/blend.ts';
export { replaceEvaporation } from './mixing/evaporation.ts';
export {
  type Analytes,
  afterChanges,
  changesToTarget,
  continuousOrBatch,
  LARGEST_SHARE,
  warmNewWater,
} from './mixing/exchange.ts';
export * from './mixing/salt.ts';
export type { ChoiceField, Field, QuantityField, TextField } from './mixing-room/fields.ts';
export { mixingTools, shelves, toolOf } from './mixing-room/mixing-room.ts';
export type { Shelf, Tool } from './mixing-room/tool.ts';
export { waterTool } from './mixing-room/tools/one-water.ts';
export type { Intent } from './orders/bearings.ts';
export { type Changes, changes } from './orders/changes.ts';
export * from './orders/order.ts';
export { firstOrdersOf, ordersOf } from './orders/orders.ts';
export * from './reagents/ammonia.ts';
export { countedAs } from './reagents/ions.ts';
export type { PlannedTank } from './route/plans.ts';
export {
  compareRoutes,
  type DaysToReady,
  type Prices,
  type RouteOutlook,
  type RouteSettings,
} from './route/routes.ts';
export { type Situation, SituationError, situationOf } from './situation/situation.ts';
export { type Advice, type Cause, causes, explain, isSuspected } from './stall/causes.ts';
export { inSystem, sayFigure, type UnitSystem } from './units/display.ts';
export {
  canonicalUnit,
  LITRES_PER_UK_GALLON,
  LITRES_PER_US_GALLON,
  type QuantityKind,
} from './units/kinds.ts';
export { parseQuantity, readReferencePair } from './units/parse.ts';
export * from './volume/from-tracer.ts';
export { netVolume, TAPE_ERROR_CM, type TankMeasures } from './volume/net-volume.ts';
export type { Measures, Shape } from './volume/shapes.ts';
export { type SumpMeasures, sumpVolume } from './volume/sump.ts';
export { describeWater, type KnownWater } from './water/water.ts';
export type { Draft, Figure, Step, Table, Worked } from './worked.ts';
