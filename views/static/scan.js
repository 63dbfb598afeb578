// Only adds: where the browser can read square codes by itself, a button beside the field looks through the camera.
const field = document.querySelector('.scan input')
if (field && 'BarcodeDetector' in window && navigator.mediaDevices) {
  const button = document.createElement('button')
  button.type = 'button'
  button.textContent = 'Scan with the camera'
  field.after(button)
  button.addEventListener('click', () => look().catch(() => stop('The camera cannot be used here. Type the code.')))

  let video
  const stop = words => {
    for (const track of video?.srcObject?.getTracks() ?? []) track.stop()
    video?.remove()
    video = undefined
    button.textContent = words
  }

  const look = async () => {
    if (video) return stop('Scan with the camera')
    video = document.createElement('video')
    video.playsInline = true
    video.muted = true
    button.after(video)
    button.textContent = 'Stop'
    video.srcObject = await navigator.mediaDevices.getUserMedia({ video: { facingMode: 'environment' } })
    await video.play()
    const detector = new BarcodeDetector({ formats: ['qr_code'] })
    while (video) {
      const [seen] = await detector.detect(video)
      if (seen && video) {
        field.value = seen.rawValue
        stop('Scan another')
        field.form.requestSubmit()
        return
      }
      await new Promise(resolve => setTimeout(resolve, 150))
    }
  }
}
