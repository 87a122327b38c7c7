/** Ions as chemists print them: "NO2" becomes "NO₂". */
export const withSubscripts = (text: string) =>
  text.replace(/\b(NH|NO)([234])\b/g, (_, ion: string, count: string) => ion + SUBSCRIPTS[Number(count)]);

const SUBSCRIPTS = '₀₁₂₃₄';
