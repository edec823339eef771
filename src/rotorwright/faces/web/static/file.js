// A file of the maker's own, read as text in the browser: nothing but its text is handed over.
export default {
  inheritAttrs: false,
  template: `<div class="rw-field"><label :for="$attrs.id">{{ label }}</label>
    <input type="file" v-bind="$attrs" @change="read" /><small>{{ said }}</small></div>`,
  props: { label: String, most: Number },
  data: () => ({ said: "" }),
  methods: {
    async read(event) {
      const file = event.target.files[0];
      event.target.value = "";
      if (!file) return;
      if (file.size > this.most) {
        this.said = `${file.name} is too large: a table of up to ${Math.round(this.most / 1000)} kB is read.`;
        return;
      }
      try {
        const text = new TextDecoder("utf-8", { fatal: true }).decode(await file.arrayBuffer());
        this.said = file.name;
        this.$emit("read", text);
      } catch {
        this.said = `${file.name} is no text: save the table as CSV.`;
      }
    },
  },
};
