// A file of the maker's own device, handed to the server that serves this page; too large ones are not even sent.
export default {
  inheritAttrs: false,
  template: `<input ref="box" type="file" v-bind="$attrs" @change="take">`,
  props: { goal: String, most: Number },
  methods: {
    async take() {
      const file = this.$refs.box.files[0];
      if (!file) return;
      const answer = { name: file.name, size: file.size, to: "", said: "" };
      if (file.size <= this.most) {
        try {
          const got = await fetch(`${this.goal}?name=${encodeURIComponent(file.name)}`, { method: "POST", body: file });
          const told = got.headers.get("content-type").includes("json") ? await got.json() : { said: await got.text() };
          Object.assign(answer, told);
        } catch (fault) {
          answer.said = `It could not be read or sent: ${fault.message}`;
        }
      }
      this.$refs.box.value = "";
      this.$emit("picked", answer);
    },
  },
};
