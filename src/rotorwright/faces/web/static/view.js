// The aeroplane as an ink drawing that can be turned: simple solids with edges, rotors that spin the lifting way.
import { THREE, OrbitControls } from "nicegui-scene";
import { drawn } from "rotorwright-solids";

const SPIN = 2.2; // turns of a drawn rotor in ten seconds: slow enough to see which way

export default {
  template: '<div class="rw-scene" role="img" tabindex="0"></div>',
  props: { solids: Array, marks: Array, arrows: Array, colours: Object, said: String, picked: String },
  mounted() {
    THREE.Object3D.DEFAULT_UP.set(0, 0, 1);
    this.scene = new THREE.Scene();
    this.camera = new THREE.PerspectiveCamera(32, 1, 0.01, 100);
    this.camera.up.set(0, 0, 1);
    this.drawer = new THREE.WebGLRenderer({ antialias: true, alpha: true, preserveDrawingBuffer: true });
    this.$el.appendChild(this.drawer.domElement);
    this.orbit = new OrbitControls(this.camera, this.drawer.domElement);
    this.orbit.addEventListener("change", () => this.paint());
    this.scene.add(new THREE.HemisphereLight(0xffffff, 0xb9b09a, 2.6));
    this.turning = [];
    this.build(true);
    this.watcher = new ResizeObserver(() => this.fit());
    this.watcher.observe(this.$el);
    this.fit();
    const still = matchMedia("(prefers-reduced-motion: reduce)").matches;
    this.$el.addEventListener("click", (event) => this.pick(event));
    if (!still) this.spin();
  },
  unmounted() {
    cancelAnimationFrame(this.frame);
    this.watcher.disconnect();
    this.orbit.dispose();
    this.drawer.dispose();
  },
  watch: {
    solids() {
      this.build(false);
    },
    marks() {
      this.build(false);
    },
    colours() {
      this.build(false);
    },
    picked() {
      this.build(false);
    },
  },
  methods: {
    build(first) {
      if (this.whole) this.scene.remove(this.whole);
      this.whole = new THREE.Group();
      this.turning = drawn(this.whole, this.solids, this.colours, this.picked);
      for (const mark of this.marks || []) {
        const ball = new THREE.Mesh(
          new THREE.SphereGeometry(mark.size, 20, 14), new THREE.MeshBasicMaterial({ color: mark.colour, depthTest: false, transparent: true }));
        ball.position.set(...mark.place);
        ball.renderOrder = 5;
        this.whole.add(ball);
      }
      for (const arrow of this.arrows || []) {
        const pointer = new THREE.ArrowHelper(
          new THREE.Vector3(...arrow.along), new THREE.Vector3(...arrow.place), arrow.length, arrow.colour,
          0.18 * arrow.length, 0.1 * arrow.length);
        pointer.line.material.depthTest = false;
        pointer.cone.material.depthTest = false;
        this.whole.add(pointer);
      }
      this.scene.add(this.whole);
      if (first) this.look();
      this.$el.setAttribute("aria-label", this.said || "");
      this.$el.dataset.drawn = String(this.solids.length);
      this.paint();
    },
    look() {
      const box = new THREE.Box3().setFromObject(this.whole);
      const middle = box.getCenter(new THREE.Vector3());
      const far = box.getSize(new THREE.Vector3()).length() * 1.18;
      this.camera.position.set(middle.x - 0.62 * far, middle.y - 0.62 * far, middle.z + 0.42 * far);
      this.orbit.target.copy(middle);
      this.orbit.update();
    },
    fit() {
      const wide = this.$el.clientWidth, tall = this.$el.clientHeight;
      if (!wide || !tall) return;
      this.drawer.setPixelRatio(Math.min(devicePixelRatio, 2));
      this.drawer.setSize(wide, tall, false);
      this.camera.aspect = wide / tall;
      this.camera.updateProjectionMatrix();
      this.paint();
    },
    pick(event) {
      const frame = this.$el.getBoundingClientRect();
      const spot = new THREE.Vector2(
        ((event.clientX - frame.left) / frame.width) * 2 - 1, 1 - ((event.clientY - frame.top) / frame.height) * 2);
      const ray = new THREE.Raycaster();
      ray.setFromCamera(spot, this.camera);
      const hit = ray.intersectObject(this.whole, true).find((each) => each.object.userData.part);
      if (hit) this.$emit("picked", hit.object.userData.part);
    },
    spin() {
      let last = performance.now();
      const step = (now) => {
        this.frame = requestAnimationFrame(step);
        if (now - last < 45 || document.hidden) return;
        const turned = ((now - last) / 1000) * (SPIN / 10) * 2 * Math.PI;
        last = now;
        // the top of a lifting rotor moves aft: about +y that is from +z towards +x
        for (const group of this.turning) group.rotation.y += turned;
        if (this.turning.length) this.paint();
      };
      this.frame = requestAnimationFrame(step);
    },
    paint() {
      this.drawer.render(this.scene, this.camera);
    },
  },
};
