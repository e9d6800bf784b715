import { type ProofTask, prove } from './chain-proof.ts'

// One task, one answer, then it ends; whoever started it is told of what it throws by its end.
process.once('message', (task) => {
  void prove(task as ProofTask).then((proved) => {
    process.send?.(proved, () => process.disconnect())
  })
})
