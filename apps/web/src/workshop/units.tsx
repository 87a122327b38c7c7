import { Radios } from '../parts/field.tsx';
import { prefer, preferences } from '../state/reader.ts';
import { words } from '../words/index.ts';

/** How this reader likes to read. Nothing here changes a journal. */
export function Units() {
  const of = words.workshop;
  const { volume, temperature, paper, expectation } = preferences.value;
  return (
    <section class="part" aria-labelledby="units">
      <h2 id="units">{of.units}</h2>
      <div class="form">
        <Radios
          across
          legend={of.volume}
          name="volume"
          value={volume}
          onValue={(v) => prefer({ volume: v })}
          options={[
            ['L', of.litres],
            ['gal', of.gallons],
          ]}
        />
        <Radios
          across
          legend={of.temperature}
          name="temperature"
          value={temperature}
          onValue={(t) => prefer({ temperature: t })}
          options={[
            ['°C', '°C'],
            ['°F', '°F'],
          ]}
        />
        <Radios
          across
          legend={of.paper}
          name="paper"
          value={paper}
          onValue={(p) => prefer({ paper: p })}
          options={[
            ['device', of.papers.device],
            ['light', of.papers.light],
            ['dark', of.papers.dark],
          ]}
        />
        <Radios
          legend={of.expectation}
          name="expectation"
          value={expectation}
          onValue={(e) => prefer({ expectation: e })}
          options={[
            ['at-once', of.expectations.atOnce],
            ['after', of.expectations.after],
          ]}
        />
      </div>
    </section>
  );
}
