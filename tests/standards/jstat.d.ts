declare module 'jstat' {
  const jstat: {
    readonly normal: {
      cdf(x: number, mean: number, deviation: number): number;
      pdf(x: number, mean: number, deviation: number): number;
      inv(p: number, mean: number, deviation: number): number;
    };
    readonly binomial: { pdf(k: number, trials: number, probability: number): number };
  };
  export default jstat;
}
