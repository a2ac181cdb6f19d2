// Reads the time logs of a zip of task data with the npm package isoxml.
//   node time_logs.js rows FILE.zip    every record of every log, one JSON object a line
//   node time_logs.js digest FILE.zip  the SHA-256 of all records as plain lines
//   node time_logs.js speed FILE.zip   records and seconds of decoding, the best of some runs
import { readFileSync } from 'node:fs'
import { createHash } from 'node:crypto'
import { createRequire } from 'node:module'

const { ISOXMLManager } = createRequire(import.meta.url)('isoxml')
const RUNS = 3

const [mode, file] = process.argv.slice(2)
const manager = new ISOXMLManager()
const began = performance.now()
await manager.parseISOXMLFile(new Uint8Array(readFileSync(file)), 'application/zip')
const opened_s = (performance.now() - began) / 1000
const logs = (manager.rootElement.attributes.Task ?? [])
  .flatMap(task => task.attributes.TimeLog ?? [])
  .filter(log => log.binaryData && log.timeLogHeader)

if (mode === 'rows') {
  const out = []
  for (const log of logs) {
    const { timeLogs } = log.parseBinaryFile()
    timeLogs.forEach(({ time, position: p, values }) => {
      out.push(JSON.stringify([
        log.attributes.Filename, time.getTime(),
        p && [p.PositionNorth, p.PositionEast, p.PositionUp, p.PositionStatus, p.PDOP, p.HDOP,
              p.NumberOfSatellites, p.GpsUtcTime, p.GpsUtcDate].map(each => each ?? null),
        values,
      ]))
    })
    if (log.parsingErrors.length) out.push(JSON.stringify([log.attributes.Filename, log.parsingErrors]))
  }
  process.stdout.write(out.join('\n') + '\n')
} else if (mode === 'digest') {
  // name, ms, then raw: north, east, up, status, pdop, hdop, satellites, gps ms, gps day, values
  const hash = createHash('sha256')
  const raw = (value, steps) => (value == null ? '' : String(Math.round(Number(value) * steps)))
  for (const log of logs) {
    for (const { time, position: p, values } of log.parseBinaryFile().timeLogs) {
      const place = p
        ? [raw(p.PositionNorth, 1e7), raw(p.PositionEast, 1e7), raw(p.PositionUp, 1),
           raw(p.PositionStatus, 1), raw(p.PDOP, 10), raw(p.HDOP, 10),
           raw(p.NumberOfSatellites, 1), raw(p.GpsUtcTime, 1), raw(p.GpsUtcDate, 1)]
        : Array(9).fill('')
      const written = Object.keys(values).sort().map(key => `${key}=${values[key]}`)
      hash.update([log.attributes.Filename, time.getTime(), ...place, ...written].join(' ') + '\n')
    }
  }
  console.log(hash.digest('hex'))
} else {
  let records = 0, best_s = Infinity
  for (let run = 0; run < RUNS; run++) {
    records = 0
    let spent_s = 0
    for (const log of logs) {
      log.parsedTimeLog = null
      const start = performance.now()
      records += log.parseBinaryFile().timeLogs.length
      spent_s += (performance.now() - start) / 1000
      log.parsedTimeLog = null
    }
    best_s = Math.min(best_s, spent_s)
  }
  console.log(JSON.stringify({ records, seconds: best_s, opened_s, node: process.version }))
}
