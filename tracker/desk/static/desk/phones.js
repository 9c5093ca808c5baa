// Lets phones in and shuts them out, and shows what a rule refused, through the API.
const token = JSON.parse(document.body.getAttribute("hx-headers"))["x-csrftoken"];
const failed = document.querySelector("[data-failed]");

async function ask(method, path, body) {
  failed.hidden = true;
  try {
    const answer = await fetch(`/api/v1/${path}`, {
      method,
      headers: { "content-type": "application/json", "x-csrftoken": token },
      body: body && JSON.stringify(body),
    });
    if (answer.ok) return answer.status === 204 ? {} : await answer.json();
  } catch {
    // No network: said below.
  }
  failed.hidden = false;
  return null;
}

async function letIn(button) {
  const answer = await ask("POST", "enrol-codes/", { member: Number(button.dataset.enrol) });
  if (!answer) return;
  const box = document.querySelector("dialog[data-qr]");
  box.querySelector("[data-name]").textContent = button.dataset.name;
  const picture = new Image(264, 264);
  picture.alt = "QR";
  picture.src = `data:image/svg+xml;utf8,${encodeURIComponent(answer.qr)}`;
  box.querySelector("[data-picture]").replaceChildren(picture);
  const link = box.querySelector("[data-link]");
  link.textContent = link.href = answer.url;
  box.showModal();
}

function line(row) {
  const shown = document.querySelector("[data-set-aside] template").content.cloneNode(true);
  shown.querySelector("[data-who]").textContent = `${row.member}, ${row.device}`;
  shown.querySelector("[data-what]").textContent = row.operation.kind ?? "";
  shown.querySelector("[data-why]").textContent = row[document.documentElement.lang] ?? row.en;
  const item = shown.querySelector("li");
  shown.querySelector("[data-settle]").addEventListener("submit", async (event) => {
    event.preventDefault();
    const how = new FormData(event.target).get("how");
    if (await ask("POST", `set-aside/${row.id}/settlement/`, { how })) item.remove();
  });
  return shown;
}

async function showSetAside() {
  const box = document.querySelector("[data-set-aside]");
  const rows = (await ask("GET", "set-aside/"))?.waiting ?? [];
  box.hidden = rows.length === 0;
  box.querySelector("[data-count]").textContent = rows.length;
  box.querySelector("[data-list]").replaceChildren(...rows.map(line));
}

for (const button of document.querySelectorAll("[data-enrol]")) {
  button.addEventListener("click", () => letIn(button));
}
for (const button of document.querySelectorAll("[data-shut-out]")) {
  button.addEventListener("click", async () => {
    if (await ask("DELETE", `devices/${button.dataset.shutOut}/`)) location.reload();
  });
}
showSetAside();
