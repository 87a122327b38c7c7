/** What stands on the charts. */
export const chartWords = {
  chart: {
    unit: 'mg/L as N',
    today: 'today',
    day: (day: number) => `day ${day}`,
    dayHeading: (day: number, date: string) => `Day ${day}, ${date}`,
    readyBetween: (from: string, to: string) => `ready ${from} – ${to}`,
    readyOn: (day: string) => `ready ${day}`,
    readyFrom: (from: string) => `ready from ${from} at the earliest`,
    faint: 'under 0.01',
    whole: 'Show it from day 0',
    recent: 'Show the last weeks only',
    cursor: 'Day on the course; move with the arrow keys',
    read: (analyte: string, text: string) => `${analyte} read ${text}`,
    shownLevel: (name: string, middle: string, low: string, high: string) =>
      low === high ? `${name} ${middle}` : `${name} ${middle} (${low}–${high})`,
    spokenLevel: (name: string, low: string, high: string) =>
      low === high
        ? `${name} ${low} milligrams per litre`
        : `${name} between ${low} and ${high} milligrams per litre`,
    caption:
      'True levels in mg/L as N. The pale band holds the water nine times in ten, the darker one every second time; its middle is dashed where it is forecast. Upright bars are readings, from the least to the most their kit allows; an arrow means the card ended there, a question mark that the forecast did not expect it.',
    tableCaption: 'mg/L as N, nine times in ten between these levels',
    dayColumn: 'Day',
    range: (low: string, high: string) => (low === high ? low : `${low}–${high}`),
  },
};
