import type { TankId } from '@brinewright/journal';
import { useState } from 'preact/hooks';
import { instantHere } from '../format/dates.ts';
import { Choice, Field, LinesInput, Radios } from '../parts/field.tsx';
import { ask } from '../sharing/ask.ts';
import { askAgain } from '../state/sharing.ts';
import { sharingWords } from '../words/sharing.ts';
import { Outcome } from './outcome.tsx';
import { useDeed } from './use-deed.ts';

const of = sharingWords.proposals;

type Act = keyof typeof of.deeds;
type When = keyof typeof of.whens;

const pairs = <T extends string>(table: Readonly<Record<T, string>>) =>
  Object.entries(table) as unknown as readonly (readonly [T, string])[];

/** A mentor's word: a remark in the journal, or an order for the keepers to decide on. */
export function SaySomething({ tank, onSaid }: { tank: TankId; onSaid: () => Promise<void> }) {
  const [as, setAs] = useState<'remark' | 'propose'>('remark');
  const [text, setText] = useState('');
  const [act, setAct] = useState<Act>('test');
  const [urgency, setUrgency] = useState<When>('today');
  const deed = useDeed();
  const isRemark = as === 'remark';
  const send = async () => {
    if (text.trim() === '') throw new Error(of.empty);
    if (isRemark) await ask('POST', `/api/tanks/${tank}/remarks`, { text });
    else {
      const order = { do: act, when: instantHere(Date.now()), what: {}, say: text.trim(), urgency };
      await ask('POST', `/api/tanks/${tank}/proposals`, order);
    }
    setText('');
    await onSaid();
    askAgain.peek()();
    return isRemark ? of.remarked : of.proposed;
  };
  return (
    <details class="opens">
      <summary>{of.say}</summary>
      <form
        class="opened"
        onSubmit={(event) => {
          event.preventDefault();
          deed.run(send);
        }}
      >
        <Radios
          across
          legend={of.kind}
          name="say-as"
          value={as}
          onValue={setAs}
          options={[
            ['remark', of.remark],
            ['propose', of.propose],
          ]}
        />
        <div class="form said-now">
          {!isRemark && (
            <>
              <Field label={of.order}>
                <Choice value={act} onValue={setAct} options={pairs<Act>(of.deeds)} />
              </Field>
              <Field label={of.when}>
                <Choice value={urgency} onValue={setUrgency} options={pairs<When>(of.whens)} />
              </Field>
            </>
          )}
          <Field label={isRemark ? of.remarkText : of.orderText} wide>
            <LinesInput value={text} onValue={setText} />
          </Field>
        </div>
        <p class="acts">
          <button class="act" type="submit" disabled={deed.busy}>
            {isRemark ? of.remarkAct : of.proposeAct}
          </button>
        </p>
        <Outcome deed={deed} />
      </form>
    </details>
  );
}
