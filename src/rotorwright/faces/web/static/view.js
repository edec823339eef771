// The aeroplane as an ink drawing that can be turned: simple solids with edges, rotors that spin the lifting way.
import { THREE, OrbitControls } from "nicegui-scene";

const SPIN = 2.2; // turns of a drawn rotor in ten seconds: slow enough to see which way

function made(solid) {
  const [a, b, c] = solid.size;
  if (solid.kind === "box") return new THREE.BoxGeometry(a, b, c);
  if (solid.kind === "cylinder") return new THREE.CylinderGeometry(a / 2, a / 2, c, 40);
  // a vane: half a circle (or a flat strip) from the axis outwards, drawn along the span
  const shape = [];
  for (let i = 0; i <= 12; i++) {
    const at = i / 12;
    shape.push([a * at, c > 0 ? 0.5 * a * Math.sin(Math.PI * at) : 0]);
  }
  const points = [];
  for (let i = 0; i < 12; i++) {
    const [x0, z0] = shape[i];
    const [x1, z1] = shape[i + 1];
    points.push(x0, -b / 2, z0, x1, -b / 2, z1, x1, b / 2, z1, x0, -b / 2, z0, x1, b / 2, z1, x0, b / 2, z0);
  }
  const geometry = new THREE.BufferGeometry();
  geometry.setAttribute("position", new THREE.Float32BufferAttribute(points, 3));
  geometry.computeVertexNormals();
  return geometry;
}

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
      this.turning = [];
      const groups = {};
      for (const solid of this.solids) {
        const geometry = made(solid);
        const chosen = solid.part === this.picked;
        const face = new THREE.MeshLambertMaterial({
          color: chosen ? this.colours.chosen : this.colours.face, side: THREE.DoubleSide, transparent: true,
          opacity: solid.thin ? 0.35 : 0.95, polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1,
          depthWrite: !solid.thin,
        });
        const mesh = new THREE.Mesh(geometry, face);
        mesh.userData.part = solid.part;
        const edges = new THREE.LineSegments(
          new THREE.EdgesGeometry(geometry, 28), new THREE.LineBasicMaterial({ color: this.colours.line }));
        mesh.add(edges);
        const spot = new THREE.Vector3(...solid.place);
        if (solid.kind === "cylinder") {
          mesh.quaternion.setFromUnitVectors(new THREE.Vector3(0, 1, 0), new THREE.Vector3(...solid.axis));
        }
        if (solid.kind === "vane") mesh.rotation.y = solid.tilt;
        if (solid.kind === "box" && solid.tilt) mesh.rotation.y = solid.tilt;
        if (solid.kind === "vane" || (solid.turns && solid.kind === "cylinder" && solid.axis[1] === 1)) {
          const key = solid.turns || "still";
          const at = `${key}/${solid.place[0]}/${solid.place[2]}`;
          if (!groups[at]) {
            groups[at] = new THREE.Group();
            groups[at].position.set(spot.x, 0, spot.z);
            this.whole.add(groups[at]);
            if (solid.turns) this.turning.push(groups[at]);
          }
          mesh.position.set(0, spot.y, 0);
          groups[at].add(mesh);
          continue;
        }
        mesh.position.copy(spot);
        this.whole.add(mesh);
      }
      for (const mark of this.marks || []) {
        const ball = new THREE.Mesh(
          new THREE.SphereGeometry(mark.size, 20, 14), new THREE.MeshBasicMaterial({ color: mark.colour, depthTest: false, transparent: true }));
        ball.position.set(...mark.place);
        ball.renderOrder = 5;
        this.whole.add(ball);
      }
      for (const arrow of this.arrows || []) {
        const drawn = new THREE.ArrowHelper(
          new THREE.Vector3(...arrow.along), new THREE.Vector3(...arrow.place), arrow.length, arrow.colour,
          0.18 * arrow.length, 0.1 * arrow.length);
        drawn.line.material.depthTest = false;
        drawn.cone.material.depthTest = false;
        this.whole.add(drawn);
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
