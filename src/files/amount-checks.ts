import type { Finding } from './findings.ts';

/** Both a volume and a mass of sample. */
export function sampleAmountFindings(
  amounts: { readonly sample_ml?: number | undefined; readonly sample_g?: number | undefined } | undefined,
  key: Finding['key'],
): Finding[] {
  if (amounts?.sample_ml === undefined || amounts.sample_g === undefined) return [];
  return [
    {
      code: 'sample-twice',
      key: [...key, 'sample_g'],
      message: 'the amount of sample is given twice',
      expected: 'sample_ml or sample_g',
      hint: 'keep the one that was measured',
    },
  ];
}

/** An uncertainty whose value is not there. */
export function uncertaintyFindings(values: object | undefined, key: Finding['key']): Finding[] {
  const given = Object.keys(values ?? {});
  return given
    .filter((name) => name.endsWith('_u') && !given.includes(name.slice(0, -2)))
    .map((name) => ({
      code: 'uncertainty-alone',
      key: [...key, name],
      message: `"${name}" is given without "${name.slice(0, -2)}"`,
      hint: `add "${name.slice(0, -2)}", or remove it`,
    }));
}
