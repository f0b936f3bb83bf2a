import { zipSync } from 'fflate';

/** A workbook with one sheet of these rows, as small as a program reads it. */
export function workbook(rows: string): Buffer {
  const xml = '<?xml version="1.0" encoding="UTF-8"?>';
  const main = 'http://schemas.openxmlformats.org/spreadsheetml/2006/main';
  const office = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships';
  const relations = 'http://schemas.openxmlformats.org/package/2006/relationships';
  const files = {
    '[Content_Types].xml': `${xml}<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"/>`,
    'xl/workbook.xml': `${xml}<workbook xmlns="${main}" xmlns:r="${office}"><sheets><sheet name="One" sheetId="1" r:id="rId1"/></sheets></workbook>`,
    'xl/_rels/workbook.xml.rels': `${xml}<Relationships xmlns="${relations}"><Relationship Id="rId1" Type="${office}/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="rId2" Type="${office}/styles" Target="styles.xml"/></Relationships>`,
    'xl/styles.xml': `${xml}<styleSheet xmlns="${main}"><cellXfs count="2"><xf numFmtId="0"/><xf numFmtId="14" applyNumberFormat="1"/></cellXfs></styleSheet>`,
    'xl/worksheets/sheet1.xml': `${xml}<worksheet xmlns="${main}"><sheetData>${rows}</sheetData></worksheet>`,
  };
  const bytes = Object.entries(files).map(([name, text]) => [name, Buffer.from(text)] as const);
  return Buffer.from(zipSync(Object.fromEntries(bytes)));
}
