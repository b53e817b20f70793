// Photos: small enough for the program, sent as they are when they fit (position and time in the
// file stay), made smaller only when they are too heavy.
import { call as ask, Refused, Unreachable } from '../core/api'
import { object, text, type Json } from '../core/adapt'
import { newId, send } from '../core/queue'
import { tell, tellFailure } from '../core/store'

export const heaviest = 12 * 1024 * 1024
const kinds = ['image/jpeg', 'image/png', 'image/webp']

export async function shrinkPhoto(file: Blob): Promise<Blob> {
  if (file.size <= heaviest) return file
  const picture = await createImageBitmap(file)
  const scale = Math.min(1, 2400 / Math.max(picture.width, picture.height))
  const canvas = document.createElement('canvas')
  canvas.width = Math.round(picture.width * scale)
  canvas.height = Math.round(picture.height * scale)
  canvas.getContext('2d')!.drawImage(picture, 0, 0, canvas.width, canvas.height)
  return new Promise((resolve, reject) =>
    canvas.toBlob((blob) => (blob ? resolve(blob) : reject(new Error('the photo cannot be read'))), 'image/jpeg', 0.85))
}

/** Sends a photo; gives what the program read from it, or null after saying why not. */
export async function sendPhoto(file: Blob, call?: string): Promise<Json | null> {
  if (!kinds.includes(file.type)) {
    tell('a photo must be JPEG, PNG or WebP', 'failed')
    return null
  }
  // With an id made here the same photo, sent twice, is one photo.
  const path = `/api/photos?id=${newId()}${call ? `&call=${encodeURIComponent(call)}` : ''}`
  let small = file
  try {
    small = await shrinkPhoto(file)
    const answer = await ask<unknown>(path, { method: 'POST', body: small })
    tell('the photo is in the book')
    return object(answer.body)
  } catch (failure) {
    if (failure instanceof Unreachable && call) {
      // Kept with the other entries, as it came from the camera.
      const far = await send({ id: newId(), path, body: small, at: new Date().toISOString(), words: 'photo' })
      if (far === 'kept') tell('no connection: the photo is kept here and sent later')
    } else if (failure instanceof Unreachable) tell('no connection: the photo cannot be read now; add it again later', 'failed')
    else if (failure instanceof Refused) tell(`photo: ${failure.message}`, 'failed')
    else tellFailure(failure)
    return null
  }
}
export const photoId = (answer: Json): string => text(answer['id'] ?? answer['photo'])
