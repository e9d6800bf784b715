import { Type } from 'typebox'
import { defineBlock, item, number } from '../chain/block.ts'
import { BAD, GOOD, NONE, UNCERTAIN } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'
import { rateUnitFrom, UNITS, unitFrom, unitParameter } from '../chain/unit.ts'

/** What the function that an own block's file exports is given, so that the file imports nothing. It grows, it does not change. */
export const KIT = Object.freeze({
  ...{ defineBlock, number, item, strict, Type },
  ...{ unitFrom, rateUnitFrom, unitParameter, UNITS },
  ...{ GOOD, UNCERTAIN, BAD, NONE },
})
