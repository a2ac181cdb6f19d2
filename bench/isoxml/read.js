// Reads a zip of task data with the npm package isoxml and prints what it found as JSON.
//   node read.js FILE.zip
import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'

const { ISOXMLManager } = createRequire(import.meta.url)('isoxml')
const { entities } = createRequire(import.meta.url)('isoxml/dist/DDEntities.js')
const dictionary = entities ?? createRequire(import.meta.url)('isoxml/dist/DDEntities.js').default
const manager = new ISOXMLManager()
await manager.parseISOXMLFile(new Uint8Array(readFileSync(process.argv[2])), 'application/zip')

const name = (reference, key) => reference?.entity?.attributes[key] ?? null
const value = ({ attributes: a }) => {
  const shown = a.ValuePresentationIdRef?.entity?.attributes
  const entry = dictionary[parseInt(a.ProcessDataDDI, 16)]
  return {
    number: parseInt(a.ProcessDataDDI, 16),
    name: entry?.name ?? null,
    unit: entry?.unit ?? null,
    step: entry?.bitResolution ?? null,
    raw: a.ProcessDataValue,
    scale: shown?.Scale ?? null,
    shown_in: shown?.UnitDesignator ?? null,
  }
}
const task = ({ attributes: a }) => ({
  name: a.TaskDesignator,
  status: Number(a.TaskStatus),
  customer: name(a.CustomerIdRef, 'CustomerLastName'),
  farm: name(a.FarmIdRef, 'FarmDesignator'),
  field: name(a.PartfieldIdRef, 'PartfieldDesignator'),
  area_m2: name(a.PartfieldIdRef, 'PartfieldArea'),
  worker: name(a.ResponsibleWorkerIdRef, 'WorkerLastName'),
  zones: (a.TreatmentZone ?? []).map(zone => ({
    code: zone.attributes.TreatmentZoneCode,
    values: (zone.attributes.ProcessDataVariable ?? []).map(value),
  })),
  comments: (a.CommentAllocation ?? []).map(each => each.attributes.FreeCommentText),
})
console.log(JSON.stringify({
  warnings: manager.getWarnings(),
  tasks: (manager.rootElement.attributes.Task ?? []).map(task),
}))
