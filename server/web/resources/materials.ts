import { Type } from 'typebox'
import { DomainError } from '../../bend/errors.ts'
import { foretellFirstBend } from '../../bend/first-bend.ts'
import { MATERIALS, type Material } from '../../bend/materials.ts'
import { materialOfTube } from '../../bend/tube-metal.ts'
import { FirstBend, FirstBendAsk } from '../../messages/first-bend.ts'
import { MaterialRow } from '../../messages/material.ts'
import type { StoredSetup, Tube } from '../../messages/setup.ts'
import { answers } from '../answers.ts'
import { askDomain } from '../ask-domain.ts'
import type { Resource } from '../parts.ts'

const tags = ['station']

function rowOf({ key, name, sources }: Material, tube?: Tube): MaterialRow {
  const ownMaterial = tube?.ownMaterial ?? null
  return { key: ownMaterial === null ? key : name, name, ownMaterial, sources }
}

/** What this version takes for no metal is not offered again. */
function metalOrNull(tube: Tube): Material | null {
  try {
    return materialOfTube(tube)
  } catch (error) {
    if (error instanceof DomainError) return null
    throw error
  }
}

/** The shop's own, each once, that of the newest set-up first. */
function ownRows(setups: readonly StoredSetup[]): MaterialRow[] {
  const rows = new Map<string, MaterialRow>()
  for (const { tube } of setups.map(({ setup }) => setup)) {
    const material = tube.ownMaterial === undefined ? null : metalOrNull(tube)
    if (material !== null && !rows.has(material.key)) rows.set(material.key, rowOf(material, tube))
  }
  return [...rows.values()]
}

/** /materials: what a tube can be made of; /first-bend: what is foretold of one before it is bent. */
export const materials: Resource = async (app, { history }) => {
  app.get(
    '/materials',
    {
      schema: {
        tags,
        summary: 'The material table, then the metals of the shop’s own in earlier set-ups',
        response: answers(Type.Array(MaterialRow), { codes: ['storage-failed'] }),
      },
    },
    async () => [...MATERIALS.map((row) => rowOf(row)), ...ownRows(history.setups())],
  )

  app.post(
    '/first-bend',
    {
      config: { may: 'watch' },
      schema: {
        tags,
        summary: 'Springback, estimates and warnings of a tube on a die before anything is bent',
        body: FirstBendAsk,
        response: answers(FirstBend, { body: true }),
      },
    },
    async ({ body: { die, tube, wantedDeg } }) => {
      const section = { ...tube, clrMm: die.clrMm }
      const bend = askDomain(() => foretellFirstBend(section, materialOfTube(tube), wantedDeg))
      return { ...bend, warnings: [...bend.warnings] }
    },
  )
}
