/** What a camera reads: square codes (QR) decoded from a page's own drawings, or from a picture of a printed page. */
import jsQR from 'jsqr'
import { parse } from 'node-html-parser'
import sharp from 'sharp'

/** The text of the one square code in a picture; 'nothing' when none is read. */
export async function scannedPicture(picture: Buffer): Promise<string> {
  const { data, info } = await sharp(picture).ensureAlpha().raw().toBuffer({ resolveWithObject: true })
  return jsQR.default(new Uint8ClampedArray(data), info.width, info.height)?.data ?? 'nothing'
}

/** The text of every square code on a page, each drawn with so many printer dots to a module. */
export async function scannedPage(html: string, dots = 4): Promise<string[]> {
  const read: string[] = []
  for (const { outerHTML: svg } of parse(html).querySelectorAll('svg.qr')) {
    const side = Number(/viewBox="0 0 (\d+) /.exec(svg)?.[1]) * dots
    const sized = `width="${side}" height="${side}" xmlns="http://www.w3.org/2000/svg"`
    read.push(await scannedPicture(Buffer.from(svg.replace(/width="[\d.]+mm" height="[\d.]+mm"/, sized))))
  }
  return read
}
