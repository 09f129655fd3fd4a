/**
 * latest makes a call that may be asked for at any time into one that runs once at a
 * time: what is asked for meanwhile is one more run behind it, however often it is asked.
 * No answer is taken after a later one, and no queue grows.
 */
export function latest(run: () => Promise<void>): () => Promise<void> {
  let under: Promise<void> | undefined
  let again = false
  const ask = async (): Promise<void> => {
    if (under) {
      again = true
      return under
    }
    under = (async () => {
      do {
        again = false
        await run()
      } while (again)
    })()
    try {
      await under
    } finally {
      under = undefined
    }
  }
  return ask
}
