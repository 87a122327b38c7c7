import type { AuthenticationResponseJSON, RegistrationResponseJSON } from '@simplewebauthn/server';
import * as z from 'zod/mini';

/** A device's answer, as the Web Authentication API gives it; its parts are checked by what reads them. */
export const deviceAnswer = z.looseObject({
  id: z.string(),
  rawId: z.string(),
  type: z.literal('public-key'),
  response: z.looseObject({}),
});
/** What a device answered in a ceremony that was begun before. */
export const ceremonyBody = z.object({ ceremony: z.string(), answer: deviceAnswer });
export const ceremonyAnswer = z.object({ ceremony: z.string(), options: z.looseObject({}) });

type DeviceAnswer = z.infer<typeof deviceAnswer>;

/** What else is in a device's answer is judged by the library that verifies it. */
export const asMade = (answer: DeviceAnswer) => answer as unknown as RegistrationResponseJSON;
export const asSigned = (answer: DeviceAnswer) => answer as unknown as AuthenticationResponseJSON;
