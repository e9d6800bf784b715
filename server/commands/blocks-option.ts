import { type Catalogue, catalogueWith } from '../own-blocks/catalogue.ts'
import { OwnBlocksRefused } from '../own-blocks/load.ts'
import { BadInput } from './command.ts'

/** Every block there is, with those of the folder that `--blocks` names. @throws BadInput. */
export async function catalogueFrom(folder: string | undefined): Promise<Catalogue> {
  try {
    return await catalogueWith(folder ?? null)
  } catch (error) {
    throw error instanceof OwnBlocksRefused ? new BadInput(error.message) : error
  }
}
