/** The shapes of the command line's answers that other programs may rely on, as they are published and checked. */
import type { Course, Prediction } from '@brinewright/counsel';
import * as z from 'zod/mini';

const instant = z.iso.datetime({ offset: true });
const probability = z.number().check(z.gte(0), z.lte(1));
const amount = z.number().check(z.gte(0));
const mayBe = <S extends z.ZodMiniType>(schema: S) => z.union([schema, z.null()]);

const band = z.object({ at: instant, p05: amount, p25: amount, p50: amount, p75: amount, p95: amount });
const capacity = z.object({ unit: z.literal('mg N/L/d'), p05: amount, p50: amount, p95: amount });

/** `course --json` */
export const courseAnswer = z.object({
  tank: z.string(),
  asOf: instant,
  stage: z.enum(['waking', 'ammonia', 'nitrite', 'proving', 'settling', 'kept']),
  ready: z.object({
    p05: mayBe(instant),
    p50: mayBe(instant),
    p95: mayBe(instant),
    byDay: z.array(z.object({ at: instant, probability })),
  }),
  series: z.array(
    z.object({
      analyte: z.enum(['ammonia', 'nitrite', 'nitrate']),
      as: z.literal('N'),
      unit: z.literal('mg/L'),
      points: z.array(band),
    }),
  ),
  capacity: z.object({ ammonia: capacity, nitrite: capacity }),
  fit: z.object({
    effectiveSamples: amount,
    logEvidence: z.number(),
    seconds: amount,
    readingsUsed: z.int().check(z.gte(0)),
    warnings: z.array(z.string()),
  }),
}) satisfies z.ZodMiniType<Course>;

/** `predict --json` */
export const predictAnswer = z.object({
  analyte: z.string(),
  as: z.string(),
  mean: z.number(),
  quantiles: z.object({
    '0.05': z.number(),
    '0.25': z.number(),
    '0.5': z.number(),
    '0.75': z.number(),
    '0.95': z.number(),
  }),
  steps: z.exactOptional(z.array(z.object({ value: z.number(), probability }))),
}) satisfies z.ZodMiniType<Prediction>;

/** `orders --json`, most urgent first. What `what` holds goes by `do`; numbers there are null where unknown. */
export const ordersAnswer = z.array(
  z.object({
    do: z.enum(['test', 'dose', 'exchange', 'posture', 'wait', 'stock', 'prove', 'buffer', 'emergency']),
    when: instant,
    what: z.record(z.string(), z.unknown()),
    say: z.string().check(z.minLength(1)),
    because: z.array(
      z.object({ fact: z.string(), entry: z.optional(z.string()), source: z.optional(z.string()) }),
    ),
    urgency: z.enum(['now', 'today', 'soon', 'whenever']),
  }),
);

/** JSON Schema (2020-12) of an answer. */
export function answerJsonSchema(verb: string, answer: z.ZodMiniType): Record<string, unknown> {
  return {
    ...z.toJSONSchema(answer, { target: 'draft-2020-12', io: 'input' }),
    $id: `urn:brinewright:answer:${verb}:1`,
    title: `The answer of brinewright ${verb} --json`,
  };
}
