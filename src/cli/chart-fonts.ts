import { createRequire } from 'node:module';

const require = createRequire(import.meta.url);

/** Fonts carried by npm (DejaVu, free licence), so that text is drawn on machines without any font. */
export const chartFonts = {
  family: 'DejaVu Sans',
  plain: require.resolve('dejavu-fonts-ttf/ttf/DejaVuSans.ttf'),
  bold: require.resolve('dejavu-fonts-ttf/ttf/DejaVuSans-Bold.ttf'),
} as const;
