/** An input that cannot be used: which field, what is wrong with it and what would put it right. */
export class InputFault extends Error {
  readonly field: string;
  readonly problem: string;
  readonly remedy: string;

  constructor(field: string, problem: string, remedy: string) {
    super(`${field}: ${problem}. ${remedy}`);
    this.name = 'InputFault';
    this.field = field;
    this.problem = problem;
    this.remedy = remedy;
  }
}
