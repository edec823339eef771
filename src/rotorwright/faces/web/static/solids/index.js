// The parts of an aeroplane as simple solids with edges, shared by every view in three dimensions.
import { THREE } from "nicegui-scene";

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

// Puts the solids into a group and returns the groups that turn with a rotor.
export function drawn(whole, solids, colours, picked) {
  const turning = [];
  const groups = {};
  for (const solid of solids) {
    const geometry = made(solid);
    const chosen = solid.part === picked;
    const face = new THREE.MeshLambertMaterial({
      color: chosen ? colours.chosen : colours.face, side: THREE.DoubleSide, transparent: true,
      opacity: solid.thin ? 0.35 : 0.95, polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1,
      depthWrite: !solid.thin,
    });
    const mesh = new THREE.Mesh(geometry, face);
    mesh.userData.part = solid.part;
    const edges = new THREE.LineSegments(
      new THREE.EdgesGeometry(geometry, 28), new THREE.LineBasicMaterial({ color: colours.line }));
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
        whole.add(groups[at]);
        if (solid.turns) turning.push(groups[at]);
      }
      mesh.position.set(0, spot.y, 0);
      groups[at].add(mesh);
      continue;
    }
    mesh.position.copy(spot);
    whole.add(mesh);
  }
  return turning;
}
