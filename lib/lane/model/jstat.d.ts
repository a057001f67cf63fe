/** What lib/lane uses of jstat 1.9.6, which carries no types. */
declare module 'jstat' {
  const jStat: {
    beta: {
      /** The quantile at `share` (0..1) of the Beta distribution with both shape parameters above 0. */
      inv(share: number, alpha: number, beta: number): number
    }
    /** The chance that such a Beta variable is at most `x`: the regularized incomplete beta function. */
    ibeta(x: number, alpha: number, beta: number): number
    normal: {
      /** The quantile at `share` (0..1) of the normal distribution. */
      inv(share: number, mean: number, deviation: number): number
    }
    /** The natural logarithm of the gamma function of `x` > 0. */
    gammaln(x: number): number
  }
  export default jStat
}
