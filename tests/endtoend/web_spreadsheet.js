// The objects of a web spreadsheet that its macro uses, over a book in memory: {name: rows}. Fetches are real.
class Sheet {
  constructor(book, name) { this.book = book; this.name = name; }
  get rows() { return this.book.sheets[this.name]; }
  getName() { return this.name; }
  isSheetHidden() { return this.name.startsWith('hidden'); }
  getLastColumn() { return Math.max(0, ...this.rows.map((row) => row.reduce((most, cell, at) => (cell === '' ? most : at + 1), 0))); }
  getLastRow() { return this.rows.reduce((most, row, at) => (row.every((cell) => cell === '') ? most : at + 1), 0); }
  getDataRange() { return this.getRange(1, 1, Math.max(1, this.getLastRow()), Math.max(1, this.getLastColumn())); }
  getRange(row, column, height = 1, width = 1) { return new Range(this, row - 1, column - 1, height, width); }
}

class Range {
  constructor(sheet, row, column, height, width) { Object.assign(this, { sheet, row, column, height, width }); }
  places() {
    const at = (start, count) => Array.from({ length: count }, (_, n) => start + n);
    return at(this.row, this.height).map((row) => at(this.column, this.width).map((column) => [row, column]));
  }
  cell(row, column) { return (this.sheet.rows[row] ?? [])[column] ?? ''; }
  set(row, column, value) {
    if (typeof value === 'number' && !Number.isFinite(value)) throw new Error('not a number');
    const rows = this.sheet.rows;
    while (rows.length <= row) rows.push([]);
    while (rows[row].length <= column) rows[row].push('');
    rows[row][column] = value;
  }
  getValues() { return this.places().map((row) => row.map(([at, column]) => this.cell(at, column))); }
  setValues(values) {
    if (values.length !== this.height || values.some((row) => row.length !== this.width)) throw new Error('wrong size');
    this.places().forEach((row, at) => row.forEach((place, column) => this.set(...place, values[at][column])));
  }
  setValue(value) { this.set(this.row, this.column, value); }
  clearContent() { this.places().flat().forEach((place) => this.set(...place, '')); }
}

const book = {
  sheets: {},
  active: '',
  getActiveSheet() { return new Sheet(this, this.active); },
  getSheets() { return Object.keys(this.sheets).map((name) => new Sheet(this, name)); },
  getSheetByName(name) { return name in this.sheets ? new Sheet(this, name) : null; },
  getSpreadsheetTimeZone() { return 'Etc/UTC'; },
};
const SpreadsheetApp = { getActiveSpreadsheet: () => book };
const Utilities = { formatDate: (day, zone, format) => (format === 'yyyy-MM-dd' ? day.toISOString().slice(0, 10) : null) };
const UrlFetchApp = {
  fetch(url, asked) {
    const request = new XMLHttpRequest();
    request.open(asked.method, url, false);
    request.setRequestHeader('Content-Type', asked.contentType);
    Object.entries(asked.headers).forEach(([name, value]) => request.setRequestHeader(name, value));
    request.send(asked.payload);
    if (!asked.muteHttpExceptions && request.status >= 400) throw new Error(String(request.status));
    return { getContentText: () => request.responseText };
  },
};
