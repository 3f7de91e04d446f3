/** Row letter of a rack: A..Z, then AA, AB, … */
export function rowLetters(row: number): string {
  let letters = '';
  for (let rest = row; rest >= 0; rest = Math.floor(rest / 26) - 1) {
    letters = String.fromCharCode(65 + (rest % 26)) + letters;
  }
  return letters;
}

/** Name of a place in a rack that is not taken yet: `B3`, or with an added letter when it is. */
export function rackNames(taken: ReadonlySet<string>, firstRow: number): (row: number, column: number) => string {
  return (row, column) => {
    const name = `${rowLetters(firstRow + row)}${column + 1}`;
    return taken.has(name) ? nextName(name, taken) : name;
  };
}

/** The next free name after one that ends in a number: `A3` gives `A4`, `W` gives `W2`. */
export function nextName(name: string, taken: ReadonlySet<string>): string {
  const match = /^(.*?)(\d*)$/u.exec(name);
  const stem = match?.[1] ?? '';
  let number = match?.[2] === undefined || match[2] === '' ? 1 : Number(match[2]);
  let next: string;
  do {
    number += 1;
    next = `${stem}${number}`;
  } while (taken.has(next));
  return next;
}
