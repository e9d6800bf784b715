import { catalogueWith } from '../own-blocks/catalogue.ts'
import { type ProofTask, prove } from './chain-proof.ts'

async function work(task: ProofTask) {
  const { blocks } = await catalogueWith(task.blocksFolder)
  return prove(task, blocks)
}

// One task, one answer, then it ends; whoever started it is told of what it throws by its end.
process.once('message', (task) => {
  void work(task as ProofTask).then((proved) => {
    process.send?.(proved, () => process.disconnect())
  })
})
