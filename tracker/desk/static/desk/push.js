// Before the form goes out, this browser's push address is put into it, if it is wanted.
const form = document.querySelector("[data-push-form]");

function bytes(text) {
  const plain = atob(text.replaceAll("-", "+").replaceAll("_", "/"));
  return Uint8Array.from(plain, (letter) => letter.charCodeAt(0));
}

async function address() {
  const worker = await navigator.serviceWorker.register(form.dataset.pushWorker);
  const there = await worker.pushManager.getSubscription();
  const options = { userVisibleOnly: true, applicationServerKey: bytes(form.dataset.pushKey) };
  return (there ?? await worker.pushManager.subscribe(options)).toJSON();
}

form?.addEventListener("submit", async (event) => {
  const wanted = form.elements.wants_push.checked && form.dataset.pushKey;
  if (!wanted || form.elements.endpoint.value || !("serviceWorker" in navigator)) return;
  event.preventDefault();
  try {
    const { endpoint, keys } = await address();
    form.elements.endpoint.value = endpoint;
    form.elements.p256dh.value = keys.p256dh;
    form.elements.auth.value = keys.auth;
  } catch {
    // Not allowed by the person or the browser: he is not told here, and it shows.
    form.elements.wants_push.checked = false;
  }
  form.submit();
});
