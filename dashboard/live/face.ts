/** A page in another face is better than none: a quarter of a second on the shop's own network is long. */
const FACE_WITHIN_MS = 250

/**
 * Resolves when the digits' face is there, or when it has taken too long. Drawn before, lines would break
 * otherwise once it comes, and what stands on a canvas would stay in the wrong face.
 */
export async function faceIsThere(): Promise<void> {
  const weights = ['400', '700'].map((weight) =>
    document.fonts.load(`${weight} 1em "Archivo Narrow"`),
  )
  const late = new Promise((resolve) => setTimeout(resolve, FACE_WITHIN_MS))
  await Promise.race([Promise.allSettled(weights), late])
}
