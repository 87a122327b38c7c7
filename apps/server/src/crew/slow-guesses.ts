import type { Context } from 'hono';
import { callerAddress } from '../http/limits.ts';
import { allowances } from '../http/shared-limits.ts';
import type { Services } from '../services.ts';

/** Guessing is slow: for one address, and for one name from anywhere. */
const ADDRESS = { burst: 20, perSecond: 0.2 };
const NAME = { burst: 10, perSecond: 1 / 30 };

/** Refuses who guesses secrets or passwords too fast. */
export type Slowly = (context: Context, forName?: string) => Promise<void>;

export function slowGuesses(services: Services): Slowly {
  const { mode } = services;
  const byAddress = allowances(services, 'guess-address', ADDRESS);
  const byName = allowances(services, 'guess-name', NAME);
  return async (context, forName) => {
    await byAddress(callerAddress(context, mode.shared && mode.behindProxy));
    if (forName !== undefined) await byName(forName.toLowerCase());
  };
}
