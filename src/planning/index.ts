export { checkActuals, learntOptimism } from './actuals.ts';
export { chooseTogether, type JointProblem, jointCost } from './joint-choice.ts';
export { networkOf, schedule, timesOf } from './network.ts';
export { type PlanMade, type PlanOptions, plan, planMade } from './plan.ts';
