// A small JPEG with a position and a time in its EXIF, made by hand.
const pixels = Buffer.from('/9j/4AAQSkZJRgABAQEAYABgAAD/2wBDAAMCAgICAgMCAgIDAwMDBAYEBAQEBAgGBgUGCQgKCgkICQkKDA8MCgsOCwkJDRENDg8QEBEQCgwSExIQEw8QEBD/yQALCAABAAEBAREA/8wABgAQEAX/2gAIAQEAAD8A0s8g/9k=', 'base64')

function exif(lat, lon, time) {
  const rational = (value) => { const b = Buffer.alloc(8); b.writeUInt32LE(Math.round(value * 1e6), 0); b.writeUInt32LE(1e6, 4); return b }
  const angle = (value) => {
    const size = Math.abs(value)
    const degrees = Math.floor(size)
    const minutes = Math.floor((size - degrees) * 60)
    return Buffer.concat([rational(degrees), rational(minutes), rational((size - degrees - minutes / 60) * 3600)])
  }
  const entry = (tag, type, count, value) => {
    const b = Buffer.alloc(12)
    b.writeUInt16LE(tag, 0); b.writeUInt16LE(type, 2); b.writeUInt32LE(count, 4)
    if (Buffer.isBuffer(value)) value.copy(b, 8)
    else b.writeUInt32LE(value, 8)
    return b
  }
  const folder = (entries) => {
    const count = Buffer.alloc(2)
    count.writeUInt16LE(entries.length, 0)
    return Buffer.concat([count, ...entries, Buffer.alloc(4)])
  }
  const size = (entries) => 2 + 12 * entries + 4
  const first = 8
  const exifAt = first + size(2)
  const gpsAt = exifAt + size(1)
  const dataAt = gpsAt + size(4)
  const text = Buffer.from(`${time}\0`, 'latin1')
  const tiff = Buffer.concat([
    Buffer.from('II*\0\x08\0\0\0', 'latin1'),
    folder([entry(0x8769, 4, 1, exifAt), entry(0x8825, 4, 1, gpsAt)]),
    folder([entry(0x9003, 2, text.length, dataAt + 48)]),
    folder([entry(1, 2, 2, Buffer.from(lat < 0 ? 'S\0' : 'N\0')), entry(2, 5, 3, dataAt), entry(3, 2, 2, Buffer.from(lon < 0 ? 'W\0' : 'E\0')), entry(4, 5, 3, dataAt + 24)]),
    angle(lat), angle(lon), text,
  ])
  const body = Buffer.concat([Buffer.from('Exif\0\0', 'latin1'), tiff])
  const head = Buffer.from([0xff, 0xe1, 0, 0])
  head.writeUInt16BE(body.length + 2, 2)
  return Buffer.concat([head, body])
}
export function photoWithPlace(lat, lon, time) {
  return Buffer.concat([pixels.subarray(0, 2), exif(lat, lon, time), pixels.subarray(2)])
}
