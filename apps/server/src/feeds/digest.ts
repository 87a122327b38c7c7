import { dateWords } from '@brinewright/counsel';
import { html } from 'hono/html';
import type { Due } from './due.ts';

/** The day's sheet: every tank with where it stands and what to do, to be read on a wall or printed. */
export function digestPage(tanks: readonly Due[], now: number, timeZone: string) {
  const day = new Intl.DateTimeFormat('en-GB', { dateStyle: 'full', timeZone }).format(now);
  return html`<!doctype html>
<html lang="en">
  <head>
    <meta charset="utf-8" />
    <meta name="viewport" content="width=device-width, initial-scale=1" />
    <title>Tanks, ${day}</title>
    <link rel="stylesheet" href="/plain.css" />
  </head>
  <body>
    <main>
      <h1>${day}</h1>
      <p class="quiet">Times are those of ${timeZone}.</p>
      ${tanks.length === 0 ? html`<p>No tank is kept here yet.</p>` : tanks.map((tank) => tankPart(tank, timeZone))}
    </main>
  </body>
</html>
`;
}

const tankPart = ({ name, sentence, footing, asOf, orders, accepted }: Due, timeZone: string) => html`
      <section>
        <h2>${name}</h2>
        <p>${sentence}</p>
        ${footing === '' ? '' : html`<p class="quiet">${footing}</p>`}
        ${
          orders.length + accepted.length === 0
            ? ''
            : html`<ol>
          ${orders.map(
            ({ say, when, urgency, because, cautions }) => html`<li>
            <strong>${say}</strong> <span class="quiet">${soon(urgency)}, ${instantWords(when, timeZone)}</span>
            ${because[0] === undefined ? '' : html`<br /><span class="quiet">${sentenceOf(because[0].fact)}</span>`}
            ${cautions.length === 0 ? '' : html`<ul class="care">${cautions.map(({ wording, deferTo }) => html`<li><strong>Take care.</strong> ${wording} In doubt, ask: ${deferTo}.</li>`)}</ul>`}
          </li>`,
          )}
          ${accepted.map(
            ({ say, when }) => html`<li>
            <strong>${say}</strong> <span class="quiet">from a mentor, ${instantWords(when, timeZone)}</span>
          </li>`,
          )}
        </ol>`
        }
        ${asOf === undefined ? '' : html`<p class="quiet">Reckoned ${instantWords(new Date(asOf).toISOString(), timeZone)}.</p>`}
      </section>`;

/** "nothing was fed" as a sentence of its own. */
const sentenceOf = (fact: string): string =>
  `${fact.charAt(0).toUpperCase()}${fact.slice(1)}`.replace(/[^.!?]$/, '$&.');

const soon = (urgency: 'now' | 'today' | 'soon' | 'whenever'): string =>
  ({ now: 'now', today: 'today', soon: 'this week', whenever: 'when it suits' })[urgency];

function instantWords(instant: string, timeZone: string): string {
  const time = new Intl.DateTimeFormat('en-GB', { hour: '2-digit', minute: '2-digit', timeZone });
  return `${dateWords(instant, { timeZone })}, ${time.format(Date.parse(instant))}`;
}
