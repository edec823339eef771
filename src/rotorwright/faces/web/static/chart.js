// Draws one Vega-Lite specification; the drawing library is loaded once, from this server.
let library;
function drawing(address) {
  library ??= new Promise((ready, failed) => {
    const script = document.createElement("script");
    script.src = address;
    script.onload = ready;
    script.onerror = () => failed(new Error("the drawing library did not arrive"));
    document.head.appendChild(script);
  });
  return library;
}

export default {
  template: '<div role="img" class="rw-chart"></div>',
  props: { spec: Object, said: String, library: String },
  mounted() {
    this.draw();
  },
  watch: {
    spec() {
      this.draw();
    },
  },
  unmounted() {
    if (this.view) this.view.finalize();
  },
  methods: {
    async draw() {
      const mine = (this.turn = (this.turn || 0) + 1);
      await drawing(this.library);
      const plain = JSON.parse(JSON.stringify(this.spec));
      this.$el.setAttribute("aria-label", this.said || "");
      if (mine !== this.turn) return;
      if (this.view) this.view.finalize();
      const held = await window.vegaEmbed(this.$el, plain, { renderer: "svg", actions: false });
      this.view = held.view;
      this.$el.dataset.drawn = String(mine);
    },
    async save(kind, name) {
      const link = document.createElement("a");
      link.href = await this.view.toImageURL(kind, 2);
      link.download = name + "." + kind;
      link.click();
    },
  },
};
