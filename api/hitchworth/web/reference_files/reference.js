// The server may stand behind a proxy at an address with a prefix: everything is relative to this page.
const root = new URL("..", document.baseURI);
fetch(new URL("openapi.json", root))
  .then((answer) => answer.json())
  .then((spec) => {
    SwaggerUIBundle({
      spec: { ...spec, servers: [{ url: root.href.replace(/\/$/, "") }] },
      dom_id: "#page",
      deepLinking: true,
      filter: true,
      validatorUrl: null,
    });
  });
