// {{ purpose }}
const SERVER = {{ server | json }};
const ADDRESS = {{ path | json }};
const MARK = {{ mark | json }};
const KEY = '';

function onOpen() {
  SpreadsheetApp.getUi().createMenu('Hitchworth').addItem({{ texts.menu | json }}, 'hitchworth').addToUi();
}

function hitchworth() {
  const book = SpreadsheetApp.getActiveSpreadsheet();
  const active = book.getActiveSheet();
  const others = book.getSheets().filter((sheet) => sheet.getName() !== active.getName() && !sheet.isSheetHidden());
  const sent = [active, ...others].map((sheet) => sheetLines(sheet, book.getSpreadsheetTimeZone())).join('');
  writeRows(book, active, answer(sent));
}

// The rows of a sheet as lines: its name, then the cells on the left of what an earlier run has written.
function sheetLines(sheet, zone) {
  const rows = sheet.getDataRange().getValues();
  const own = ownColumn(sheet);
  const lines = rows.map((row) => [sheet.getName(), ...row.slice(0, own - 1).map((cell) => cellText(cell, zone))]);
  return lines.map((line) => line.join('\t') + '\n').join('');
}

// A number with a point, a date as YYYY-MM-DD, a text with an apostrophe before it, an error with #.
function cellText(cell, zone) {
  if (cell instanceof Date) return Utilities.formatDate(cell, zone, 'yyyy-MM-dd');
  if (typeof cell === 'number') return String(cell);
  if (cell === '') return '';
  if (/^#[A-Z\/0]+[!?A]$/.test(cell)) return cell;
  return "'" + String(cell).replace(/[\t\r\n]+/g, ' ');
}

// The column that an earlier run has written into, else the first free one; counted from 1.
function ownColumn(sheet) {
  const rows = sheet.getDataRange().getValues().slice(0, {{ mark_rows }});
  const places = rows.map((row) => row.findIndex((cell, place) => place > 0 && String(cell).startsWith(MARK)));
  const found = places.filter((place) => place > 0);
  return found.length ? Math.min(...found) + 1 : sheet.getLastColumn() + 1;
}

function clearedColumn(sheet) {
  const own = ownColumn(sheet);
  if (own <= sheet.getLastColumn()) sheet.getRange(1, own, sheet.getLastRow(), {{ last + 1 }}).clearContent();
  return own;
}

// What the server answers; nothing without an answer.
function answer(sent) {
  const headers = KEY ? { Authorization: 'Bearer ' + KEY } : {};
  const asked = { method: 'post', contentType: {{ media_type | json }}, payload: sent, headers, muteHttpExceptions: true };
  try {
    return UrlFetchApp.fetch(SERVER + ADDRESS, asked).getContentText('UTF-8');
  } catch (error) {
    return '';
  }
}

function writeRows(book, active, received) {
  const headings = {{ headings | json }};
  const lines = received.split('\n').map((line) => line.split('\t'));
  if (lines[0][0] !== {{ columns[0] | json }}) {
    active.getRange(1, clearedColumn(active)).setValue(MARK + problem(lines));
    return;
  }
  let own = 1;
  for (const parts of lines.slice(1, -1)) {
    const sheet = book.getSheetByName(parts[{{ place.sheet }}]);
    const isHeading = parts[{{ place.kind }}] === 'heading';
    if (isHeading) own = clearedColumn(sheet);
    const texts = parts.slice({{ first }}).map((part, place) => part || (isHeading ? headings[place] : ''));
    const cells = texts.map((text, place) => (place < {{ last }} && text && !isHeading ? Number(text) : text));
    sheet.getRange(Number(parts[{{ place.row }}]), own, 1, {{ last + 1 }}).setValues([cells]);
  }
}

// Why there are no values, in a sentence.
function problem(lines) {
  if (lines.length < 2) return {{ texts.no_answer | json }};
  const parts = lines[1];
  const sentence = parts[{{ problem.detail }}] + ' ' + parts[{{ problem.expected }}];
  return parts[{{ problem.kind }}] === {{ key_problem | json }} ? sentence + ' ' + {{ texts.key_missing | json }} : sentence;
}
