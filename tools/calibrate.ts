/**
 * Tries the inference on tanks whose truth is known: `npm run calibrate -- [--truths N] [--cases N] [--particles N]
 * [--first SEED] [--write]`. Truths are drawn from the model's own prior (rank tests of every coordinate and of the ready day);
 * cases are tanks of another biology with fallible keepers, calm ones and restless. `--write` puts the tables and pictures
 * into docs/science/calibration.md. A short form runs with the tests (tools/test/calibration.test.ts).
 */
import { parseArgs } from 'node:util';
import { usualSettings } from '@brinewright/evidence';
import { type BestScore, bestCase } from './calibration/best-case.ts';
import { type CaseScores, scoreCase } from './calibration/forecasts.ts';
import { caseOf, unrest } from './calibration/keeper.ts';
import { type RankTest, rankOnce, rankTests } from './calibration/own-biology.ts';
import { table, writePicture, writeSection } from './calibration/page.ts';
import { histograms } from './calibration/picture.ts';
import { insideBand, mean } from './calibration/scores.ts';

const { values } = parseArgs({
  options: {
    truths: { type: 'string', default: '200' },
    cases: { type: 'string', default: '100' },
    particles: { type: 'string', default: String(usualSettings.particles) },
    first: { type: 'string', default: '1' },
    write: { type: 'boolean', default: false },
  },
});
const [truths, cases, particles, first] = [values.truths, values.cases, values.particles, values.first].map(
  Number,
) as [number, number, number, number];
const truthDays = 24;
const asOfDays = [6, 12, 20, 30];

const seeds = (count: number): number[] => Array.from({ length: count }, (_, index) => first + index);
const percent = (share: number): string => (Number.isNaN(share) ? '–' : `${(100 * share).toFixed(1)} %`);
const fixed = (value: number, digits = 2): string => (Number.isNaN(value) ? '–' : value.toFixed(digits));

function rankReport(tests: readonly RankTest[]): string {
  const sorted = [...tests].sort((a, b) => a.probability - b.probability);
  const low = tests.filter((test) => test.probability < 0.05).length;
  return `${truths} truths, ${particles} particles, seeds from ${first}. ${low} of ${tests.length} rank tests lie below 0.05 (${fixed(0.05 * tests.length, 1)} expected by chance); the lowest ten:

${table(
  ['quantity', 'chi-square (9)', 'probability'],
  sorted.slice(0, 10).map((test) => [test.name, fixed(test.statistic, 1), fixed(test.probability, 3)]),
)}`;
}

function caseReport(tanks: string, all: readonly CaseScores[]): string {
  const readings = all.flatMap((one) => one.readings);
  const water = all.flatMap((one) => one.water);
  const ready = all.flatMap((one) => one.ready);
  const readingRows = ['ammonia', 'nitrite'].map((analyte) => {
    const of = readings.filter((reading) => reading.analyte === analyte);
    const places = of.map((reading) => reading.place);
    return [
      analyte,
      of.length,
      percent(insideBand(places, 0.5)),
      percent(insideBand(places, 0.9)),
      percent(mean(of.map((reading) => Number(reading.inside90)))),
      fixed(mean(of.map((reading) => reading.score))),
      fixed(mean(of.map((reading) => reading.persistence))),
      fixed(mean(of.map((reading) => reading.trend))),
    ];
  });
  const waterRows = (['ammonia', 'nitrite', 'nitrate'] as const).map((analyte) => {
    const places = water.filter((level) => level.analyte === analyte).map((level) => level.place);
    return [analyte, places.length, percent(insideBand(places, 0.5)), percent(insideBand(places, 0.9))];
  });
  const readyRows = [...asOfDays, 0].map((day) => {
    const of = day === 0 ? ready : ready.filter((one) => one.asOfDay === day);
    const places = of.map((one) => one.place);
    const own = mean(of.map((one) => one.crps));
    const route = mean(of.map((one) => one.routeCrps));
    const practice = mean(of.map((one) => one.practiceCrps));
    return [
      day === 0 ? 'all' : `day ${day}`,
      of.length,
      percent(insideBand(places, 0.5)),
      percent(insideBand(places, 0.9)),
      fixed(own),
      fixed(route),
      percent(1 - own / route),
      fixed(practice),
      percent(1 - own / practice),
      fixed(mean(of.map((one) => one.medianError)), 1),
    ];
  });
  return `${cases} ${tanks} of another biology, ${particles} particles, seeds from ${first}, forecasts made on days ${asOfDays.join(', ')}.

Readings of the next five test days, up to the next dose (ranked probability score in card steps; lower is better):

${table(['reading', 'n', 'in 50 %', 'in 90 %', 'in 90 % as printed', 'score', 'last reading again', 'trend going on'], readingRows)}

The water itself, today and 2, 5 and 10 days on:

${table(['level', 'n', 'in 50 %', 'in 90 %'], waterRows)}

The ready date, tanks not ready when the forecast was made (CRPS in days; lower is better):

${table(['forecast made', 'n', 'in 50 %', 'in 90 %', 'CRPS', "route's spread", 'better by', 'range practice gives', 'better by', 'median too late by, d'], readyRows)}`;
}

function bestReport(all: readonly BestScore[]): string {
  const rows = [...asOfDays, 0].map((day) => {
    const of = day === 0 ? all : all.filter((one) => one.asOfDay === day);
    const own = mean(of.map((one) => one.crps));
    const route = mean(of.map((one) => one.routeCrps));
    return [day === 0 ? 'all' : `day ${day}`, of.length, fixed(own), fixed(route), percent(1 - own / route)];
  });
  return `${truths} tanks of the model's own biology, ${particles} particles, seeds from ${first}.

${table(['forecast made', 'n', 'CRPS', 'before any reading', 'better by'], rows)}`;
}

/** What is drawn of tanks of another biology: where truths lay in their forecasts. */
function pictured(which: string, all: readonly CaseScores[]): { title: string; places: number[] }[] {
  const readings = all.flatMap((one) => one.readings);
  const placesOf = (analyte: string): number[] =>
    readings.filter((reading) => reading.analyte === analyte).map((reading) => reading.place);
  return [
    { title: `ammonia readings${which}`, places: placesOf('ammonia') },
    { title: `nitrite readings${which}`, places: placesOf('nitrite') },
    {
      title: `levels of the water${which}`,
      places: all.flatMap((one) => one.water.map(({ place }) => place)),
    },
    { title: `ready date${which}`, places: all.flatMap((one) => one.ready.map(({ place }) => place)) },
  ];
}

const ranks = seeds(truths).map((seed) => rankOnce(seed, truthDays, particles));
const tests = rankTests(ranks);
const ranked = truths > 0 ? rankReport(tests) : '';
console.log(ranked);
const best =
  truths > 0 ? bestReport(seeds(truths).flatMap((seed) => bestCase(seed, asOfDays, particles))) : '';
console.log(`\n${best}`);
const lived = (howRestless: number): CaseScores[] =>
  seeds(cases).map((seed) => scoreCase(caseOf(seed, howRestless), asOfDays, particles));
const [calm, restless] = [lived(0), lived(unrest)];
const [judged, judgedRestless] =
  cases > 0 ? [caseReport('tanks', calm), caseReport('restless tanks', restless)] : ['', ''];
console.log(`\n${judged}\n\n${judgedRestless}`);
if (values.write) {
  writeSection('own biology', ranked);
  writePicture('calibration-own.svg', histograms(tests.map(({ name, places }) => ({ title: name, places }))));
  writeSection('best case', best);
  writeSection('other biology', judged);
  writeSection('restless tanks', judgedRestless);
  writePicture(
    'calibration-other.svg',
    histograms([...pictured('', calm), ...pictured(', restless', restless)]),
  );
}
