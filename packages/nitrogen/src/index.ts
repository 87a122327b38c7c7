export * from './kernel.ts';
export * from './plan.ts';
export * from './priors/prior.ts';
export { priorTable } from './priors/table.ts';
export * from './process/biology.ts';
export * from './process/limiters.ts';
export * from './process/state.ts';
export * from './process/stoichiometry.ts';
