// A simulated flight along its path in three dimensions: played, or moved through by hand. Nothing is reckoned here.
import { THREE, OrbitControls } from "nicegui-scene";
import { drawn } from "rotorwright-solids";

const EYES = 1.7; // of a pilot who stands beside the start [m]
const LEAST_SEEN = 0.055; // an aeroplane farther off is drawn larger, so that one sees how it lies

export default {
  template: `
    <div>
      <div ref="scene" class="rw-scene" role="img" tabindex="0" :aria-label="said"></div>
      <div class="rw-row rw-player">
        <button type="button" class="rw-button rw-main" @click="toggle">{{ playing ? "Pause" : "Play" }}</button>
        <input type="range" class="rw-slider" aria-label="Time of the flight" min="0" :max="end" step="0.05"
          :value="time" @input="go(Number($event.target.value))" />
        <label class="rw-choice">Seen <select @change="from($event.target.value)">
          <option value="beside">from beside it</option><option value="pilot">by the pilot</option>
          <option value="whole">as a whole</option></select></label>
        <label class="rw-choice">Pace <select @change="pace = Number($event.target.value)">
          <option value="1">as flown</option><option value="4">four times</option>
          <option value="0.25">a quarter</option></select></label>
      </div>
      <p class="rw-lead rw-told">{{ told }}</p>
    </div>`,
  props: { solids: Array, centre: Array, flight: Object, colours: Object, said: String },
  data: () => ({ playing: false, time: 0, end: 1, told: "", pace: 1 }),
  mounted() {
    THREE.Object3D.DEFAULT_UP.set(0, 0, 1);
    this.seen = "beside";
    this.scene3 = new THREE.Scene();
    this.camera = new THREE.PerspectiveCamera(32, 1, 0.05, 6000);
    this.camera.up.set(0, 0, 1);
    this.drawer = new THREE.WebGLRenderer({ antialias: true, alpha: true, preserveDrawingBuffer: true });
    this.$refs.scene.appendChild(this.drawer.domElement);
    this.orbit = new OrbitControls(this.camera, this.drawer.domElement);
    this.orbit.addEventListener("change", () => this.paint());
    this.scene3.add(new THREE.HemisphereLight(0xffffff, 0xb9b09a, 2.6));
    this.build();
    this.watcher = new ResizeObserver(() => this.fit());
    this.watcher.observe(this.$refs.scene);
    this.fit();
  },
  unmounted() {
    this.playing = false;
    cancelAnimationFrame(this.frame);
    this.watcher.disconnect();
    this.orbit.dispose();
    this.drawer.dispose();
  },
  watch: {
    flight() {
      this.build();
    },
  },
  methods: {
    build() {
      if (this.whole) this.scene3.remove(this.whole);
      this.whole = new THREE.Group();
      this.craft = new THREE.Group();
      this.turned = new THREE.Group();
      this.turned.position.set(-this.centre[0], -this.centre[1], -this.centre[2]);
      this.turning = drawn(this.turned, this.solids, this.colours, "");
      this.craft.add(this.turned);
      this.big = new THREE.Box3().setFromObject(this.turned).getSize(new THREE.Vector3()).length();
      this.craft.matrixAutoUpdate = false;
      this.whole.add(this.craft);
      const f = this.flight, spots = f.time.map((_, k) => new THREE.Vector3(f.ahead[k], f.left[k], f.height[k]));
      this.spots = spots;
      this.end = f.time[f.time.length - 1];
      this.box = new THREE.Box3().setFromPoints([...spots, new THREE.Vector3(0, 0, 0)]);
      const way = (colour, wide) => new THREE.Line(
        new THREE.BufferGeometry().setFromPoints(spots), new THREE.LineBasicMaterial({ color: colour, linewidth: wide }));
      this.whole.add(way(this.colours.faint, 1));
      this.flown = way(this.colours.accent, 2);
      this.whole.add(this.flown);
      const onGround = spots.map((spot) => new THREE.Vector3(spot.x, spot.y, 0.01));
      this.whole.add(new THREE.Line(
        new THREE.BufferGeometry().setFromPoints(onGround), new THREE.LineBasicMaterial({ color: this.colours.grid })));
      this.drop = new THREE.Line(
        new THREE.BufferGeometry().setFromPoints([new THREE.Vector3(), new THREE.Vector3()]),
        new THREE.LineBasicMaterial({ color: this.colours.accent }));
      this.drop.frustumCulled = false;
      this.whole.add(this.drop);
      const reach = Math.max(60, this.box.getSize(new THREE.Vector3()).length());
      const step = reach > 400 ? 50 : 10, lines = 2 * Math.ceil((1.6 * reach) / step);
      const grid = new THREE.GridHelper(lines * step, lines, this.colours.grid, this.colours.grid);
      grid.rotation.x = Math.PI / 2;
      const middle = this.box.getCenter(new THREE.Vector3());
      grid.position.set(step * Math.round(middle.x / step), step * Math.round(middle.y / step), 0);
      this.whole.add(grid);
      const strip = new THREE.Mesh(
        new THREE.PlaneGeometry(f.strip, 6), new THREE.MeshBasicMaterial({
          color: this.colours.strip, transparent: true, opacity: 0.55, side: THREE.DoubleSide, depthWrite: false }));
      strip.position.set(f.strip / 2, 0, 0);
      this.whole.add(strip);
      this.scene3.add(this.whole);
      this.last = null;
      this.go(Math.min(this.time, this.end));
      this.look();
      this.$el.dataset.points = String(f.time.length);
    },
    row(time) {
      const times = this.flight.time;
      let low = 0, high = times.length - 1;
      while (high - low > 1) {
        const middle = (low + high) >> 1;
        if (times[middle] <= time) low = middle;
        else high = middle;
      }
      const gap = times[high] - times[low];
      return [low, high, gap > 0 ? Math.min(Math.max((time - times[low]) / gap, 0), 1) : 0];
    },
    between(name, [low, high, share]) {
      const values = this.flight[name];
      let step = values[high] - values[low];
      if (name === "heading") step -= 2 * Math.PI * Math.round(step / (2 * Math.PI));
      return values[low] + share * step;
    },
    go(time) {
      this.time = time;
      const row = this.row(time), at = (name) => this.between(name, row);
      const spot = new THREE.Vector3(at("ahead"), at("left"), at("height"));
      // the drawing's aft, right, up in the world's ahead, left, up: turned half round, then by heading, pitch, bank
      const turn = new THREE.Matrix4().makeRotationZ(Math.PI - at("heading"));
      turn.multiply(new THREE.Matrix4().makeRotationY(at("pitch")));
      turn.multiply(new THREE.Matrix4().makeRotationX(-at("bank")));
      if (this.last && this.seen === "beside") {
        const moved = spot.clone().sub(this.last);
        this.camera.position.add(moved);
        this.orbit.target.add(moved);
      }
      if (this.seen === "pilot") this.camera.lookAt(spot);
      this.last = spot;
      const off = this.camera.position.distanceTo(spot);
      const size = this.seen === "beside" ? 1 : Math.max(1, (LEAST_SEEN * off) / this.big);
      turn.setPosition(spot).scale(new THREE.Vector3(size, size, size));
      this.craft.matrix.copy(turn);
      this.craft.matrixWorldNeedsUpdate = true;
      this.flown.geometry.setDrawRange(0, row[1] + 1);
      this.drop.geometry.setFromPoints([spot, new THREE.Vector3(spot.x, spot.y, 0)]);
      const moment = this.flight.moments.filter((each) => each.time <= time + 1e-6).pop();
      const units = this.flight.units;
      this.told = `${time.toFixed(1)} s: ${(at("airspeed") * units.speed).toFixed(1)} ${units.speed_name}, ` +
        `${(at("height") * units.length).toFixed(1)} ${units.length_name} high` + (moment ? `. ${moment.words}` : "");
      this.$el.dataset.time = time.toFixed(2);
      this.paint();
    },
    from(seen) {
      this.seen = seen;
      this.look();
    },
    look() {
      const spot = this.last, far = this.big;
      this.orbit.enabled = this.seen !== "pilot";
      if (this.seen === "beside") {
        this.orbit.target.copy(spot);
        this.camera.position.set(spot.x - 2.4 * far, spot.y + 2.0 * far, spot.z + 1.1 * far);
      } else if (this.seen === "pilot") {
        this.camera.position.set(-4, 6, EYES);
        this.camera.lookAt(spot);
      } else {
        const middle = this.box.getCenter(new THREE.Vector3());
        const wide = this.box.getSize(new THREE.Vector3()).length() / Math.min(1, this.camera.aspect);
        this.orbit.target.copy(middle);
        this.camera.position.set(middle.x - 1.1 * wide, middle.y - 0.75 * wide, middle.z + 0.75 * wide);
      }
      if (this.seen !== "pilot") this.orbit.update();
      this.go(this.time);
    },
    toggle() {
      this.playing = !this.playing;
      if (!this.playing) return;
      if (this.time >= this.end - 0.01) this.go(0);
      let last = performance.now();
      const step = (now) => {
        if (!this.playing) return;
        this.frame = requestAnimationFrame(step);
        const gone = Math.min((now - last) / 1000, 0.2);
        last = now;
        for (const group of this.turning) group.rotation.y += 9 * gone;
        this.go(Math.min(this.time + this.pace * gone, this.end));
        if (this.time >= this.end) this.playing = false;
      };
      this.frame = requestAnimationFrame(step);
    },
    fit() {
      const wide = this.$refs.scene.clientWidth, tall = this.$refs.scene.clientHeight;
      if (!wide || !tall) return;
      this.drawer.setPixelRatio(Math.min(devicePixelRatio, 2));
      this.drawer.setSize(wide, tall, false);
      this.camera.aspect = wide / tall;
      this.camera.updateProjectionMatrix();
      this.paint();
    },
    paint() {
      this.drawer.render(this.scene3, this.camera);
    },
  },
};
