import { copyParticle, startOf } from '../numbers/fours.ts';
import { readied } from '../observe/reading.ts';
import { seenWidth, type Weigher, waterWidth } from '../observe/shape.ts';
import { openWeigher } from '../observe/weigher.ts';
import type { Problem } from '../problem.ts';
import { blockSize } from './block.ts';
import type { Passage } from './passage.ts';
import type { Runs } from './runs.ts';
import { stagesOf } from './stages.ts';
import { keepWater, type Reader, type Watch } from './watch.ts';

/** Weighs the readings of a problem against the runs of a block. */
export interface Weighing {
  /** Room to weigh many particles' readings in, without running their water again. */
  openRoom(capacity: number): Weigher;
  /** Copies what the last weighed particle of that number saw, water and eyes, into a place of another room. */
  keep(particle: number, room: Weigher, place: number): void;
  /**
   * Runs the supposed particles and writes their log likelihoods, −Infinity where impossible. Where something is asked of
   * each they are run and weighed stage by stage, and one that can no longer come to what is asked of it goes no further
   * and comes to −Infinity.
   */
  weigh(count: number, out: Float64Array, asked?: Float64Array): void;
}

export function openWeighing(
  problem: Problem,
  { plan }: Passage,
  watched: Watch,
  reader: Reader,
  runs: Runs,
): Weighing {
  const readings = watched.order.map((one) => readied(one, problem.instruments[one.instrument]!));
  const stages = stagesOf(plan, watched, readings);
  const waterLength = waterWidth(watched);
  const eyeLength = reader.places.length;
  const seenLength = seenWidth({ readings });
  const openRoom = (capacity: number): Weigher =>
    openWeigher({
      readings,
      occasions: watched.occasions,
      rows: watched.rows,
      eyes: reader.priors,
      capacity,
    });
  const room = openRoom(blockSize);
  return {
    openRoom,
    keep(particle, other, place) {
      copyParticle(room.waters, particle, other.waters, place, waterLength);
      copyParticle(room.eyes, particle, other.eyes, place, eyeLength);
      copyParticle(room.seen, particle, other.seen, place, seenLength);
    },
    weigh(count, out, asked) {
      const run = runs.setOut(count);
      out.fill(-Infinity, 0, count);
      for (const particle of run) {
        out[particle] = 0;
        reader.fill(runs.values(particle), room.eyes, particle);
      }
      let going = run.slice();
      let [stop, occasion, row] = [0, 0, 0];
      for (const stage of asked ? stages : stages.slice(-1)) {
        runs.run(going, stop, stage.stops);
        for (const particle of going)
          keepWater(runs.row(particle).states, row, stage.rows, room.waters, startOf(particle, waterLength));
        room.weigh(0, count, occasion, stage.occasions);
        let left = 0;
        for (const particle of going) {
          const found = out[particle]! + room.logLikelihoods[particle]!;
          const blur = room.eyes[startOf(particle, eyeLength)]!;
          const most = found + stage.mostAfter(blur);
          const goesOn = runs.arrived(particle) && (!asked || most >= asked[particle]!);
          out[particle] = goesOn ? found : -Infinity;
          if (goesOn) going[left++] = particle;
        }
        going = going.subarray(0, left);
        [stop, occasion, row] = [stage.stops, stage.occasions, stage.rows];
      }
      runs.tally(run);
    },
  };
}
