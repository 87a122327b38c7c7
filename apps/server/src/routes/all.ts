import { Hono } from 'hono';
import type { Env } from '../access/person.ts';
import { slowGuesses } from '../crew/slow-guesses.ts';
import type { Services } from '../services.ts';
import { crewRoutes } from './crew.ts';
import { entryRoutes } from './entries.ts';
import { exportRoutes } from './exports.ts';
import { feedRoutes } from './feeds.ts';
import { hereRoutes } from './here.ts';
import { invitationRoutes } from './invitations.ts';
import { journalFileRoutes } from './journal-file.ts';
import { probeRoutes } from './probes.ts';
import { pushRoutes } from './push.ts';
import { selfRoutes } from './self.ts';
import { sessionRoutes } from './sessions.ts';
import { tankRoutes } from './tanks.ts';
import { watchRoutes } from './watch.ts';

/** The routes of the interface, without what stands before them. */
export function routes(services: Services): Hono<Env> {
  const app = new Hono<Env>();
  app.route('/', watchRoutes(services));
  app.route('/', hereRoutes(services));
  app.route('/', entryRoutes(services));
  app.route('/', tankRoutes(services));
  app.route('/', journalFileRoutes(services));
  app.route('/', feedRoutes(services));
  app.route('/', probeRoutes(services));
  app.route('/', pushRoutes(services));
  app.route('/', exportRoutes(services));
  if (services.mode.shared) {
    const slowly = slowGuesses(services);
    app.route('/', invitationRoutes(services, slowly));
    app.route('/', sessionRoutes(services, slowly));
    app.route('/', selfRoutes(services));
    app.route('/', crewRoutes(services));
  }
  return app;
}
