// Works a workbook out with HyperFormula: node hyperformula.mjs PACKAGE GIVEN FOUND
// PACKAGE: the package's module; GIVEN: sheets of cells and names for ranges, as JSON; FOUND: where the results go, as JSON.
import fs from 'node:fs';
import { pathToFileURL } from 'node:url';

const [packageAt, givenAt, foundAt] = process.argv.slice(2);
const { HyperFormula } = await import(pathToFileURL(packageAt));
const given = JSON.parse(fs.readFileSync(givenAt, 'utf8'));

// As Excel has it: accents count, arrays are worked out inside of functions, a formula that only points at a blank cell
// comes to 0. Results are not rounded.
const options = {
  licenseKey: 'gpl-v3', accentSensitive: true, useArrayArithmetic: true, evaluateNullToZero: true, smartRounding: false,
};
const names = Object.entries(given.names).map(([name, expression]) => ({ name, expression }));
const engine = HyperFormula.buildFromSheets(given.sheets, options, names);

// A result that is an error comes as an object; its name, such as #CYCLE!, is all that is wanted.
const plain = (value) => (value !== null && typeof value === 'object' ? value.value : value);
const found = Object.fromEntries(
  Object.entries(engine.getAllSheetsValues()).map(([sheet, rows]) => [sheet, rows.map((row) => row.map(plain))]),
);
fs.writeFileSync(foundAt, JSON.stringify(found));
