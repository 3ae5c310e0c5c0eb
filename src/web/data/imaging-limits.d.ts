declare module 'virtual:imaging-limits' {
  import type { MeasureLimits } from '../../imaging/measurement.ts';

  const limits: MeasureLimits & { readonly analysis: { readonly longSidePx: number } };
  export default limits;
}
