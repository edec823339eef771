// A field that keeps what is being typed while everything round it is drawn again.
export default {
  inheritAttrs: false,
  template: `<component :is="tag" ref="box" v-bind="$attrs" @input="$emit('typed', $refs.box.value)"
    @change="$emit('done', $refs.box.value)"><option v-for="word in words" :key="word" :value="word">{{ word }}</option></component>`,
  props: { tag: String, value: String, words: Array },
  mounted() {
    this.$refs.box.value = this.value;
  },
  watch: {
    value(now) {
      if (this.$refs.box.value !== now) this.$refs.box.value = now;
    },
  },
};
