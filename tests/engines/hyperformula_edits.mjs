// Works a workbook out anew after each of many edits: node hyperformula_edits.mjs PACKAGE GIVEN FOUND
// GIVEN: sheets, names, cells to read as [sheet, row, column] counted from 1, and edits, each of cells as [sheet, row,
// column, content]; FOUND: for each edit the contents of the cells to read, as JSON. Each edit is taken back after it.
import fs from 'node:fs';
import { pathToFileURL } from 'node:url';

const [packageAt, givenAt, foundAt] = process.argv.slice(2);
const { HyperFormula } = await import(pathToFileURL(packageAt));
const given = JSON.parse(fs.readFileSync(givenAt, 'utf8'));
const options = {
  licenseKey: 'gpl-v3', accentSensitive: true, useArrayArithmetic: true, evaluateNullToZero: true, smartRounding: false,
};
const names = Object.entries(given.names).map(([name, expression]) => ({ name, expression }));
const engine = HyperFormula.buildFromSheets(given.sheets, options, names);
const at = ([sheet, row, column]) => ({ sheet: engine.getSheetId(sheet), row: row - 1, col: column - 1 });
const plain = (value) => (value !== null && typeof value === 'object' ? value.value : value);
const read = () => given.read.map((place) => plain(engine.getCellValue(at(place))));

const write = (cells) => engine.batch(() => cells.forEach((cell) => engine.setCellContents(at(cell), [[cell[3]]])));
const found = given.edits.map((cells) => {
  const before = cells.map((cell) => [...cell.slice(0, 3), engine.getCellSerialized(at(cell)) ?? null]);
  write(cells);
  const results = read();
  write(before);
  return results;
});
fs.writeFileSync(foundAt, JSON.stringify({ before: read(), after: found }));
