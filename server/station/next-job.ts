import { BEND_NUMBER_MAX, type Job } from '../messages/setup.ts'

/** The job for the bend after this one; whoever only ever bends on keeps the last number. */
export const nextOf = (job: Job): Job => ({
  ...job,
  bendNumber: Math.min(job.bendNumber + 1, BEND_NUMBER_MAX),
})
