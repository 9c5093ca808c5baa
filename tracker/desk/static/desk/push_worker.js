// Shows what the server pushed. The same tag takes the place of the one before.
self.addEventListener("push", (event) => {
  const said = event.data?.json() ?? {};
  event.waitUntil(
    self.registration.showNotification(said.title ?? "Plumbrow", {
      body: said.body,
      tag: said.tag,
      data: { url: said.url ?? "/inspections/" },
    }),
  );
});

self.addEventListener("notificationclick", (event) => {
  event.notification.close();
  event.waitUntil(self.clients.openWindow(event.notification.data.url));
});
