import { Hono } from 'hono';
import type { Env } from '../access/person.ts';
import type { Services } from '../services.ts';
import { crewRoutes } from './crew.ts';
import { entryRoutes } from './entries.ts';
import { feedRoutes } from './feeds.ts';
import { hereRoutes } from './here.ts';
import { journalFileRoutes } from './journal-file.ts';
import { peopleRoutes } from './people.ts';
import { probeRoutes } from './probes.ts';
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
  if (services.mode.shared) {
    app.route('/', peopleRoutes(services));
    app.route('/', crewRoutes(services));
  }
  return app;
}
