// The vehicle in the 3-D scene: one model whose parts are set by matrices that the server sends; it computes no place.
import { CSS2DObject, GLTFLoader, THREE } from "nicegui-scene";

const loader = new GLTFLoader();
const ball = new THREE.SphereGeometry(1, 20, 12);
const rod = new THREE.CylinderGeometry(1, 1, 1, 10);
const PICK_MM = 14;

const set = (object, m) => {
  object.matrixAutoUpdate = false;
  object.matrix.set(...m, 0, 0, 0, 1);
  object.matrixWorldNeedsUpdate = true;
};

export default class Vehicle {
  async create_mesh(url, state) {
    this.mesh = new THREE.Group();
    this.things = new Map();
    this.bodies = new Map();
    const model = (await loader.loadAsync(url)).scene;
    model.traverse((o) => { if (!this.body && o.userData.name === "vehicle") this.body = o; });
    // the scene is in metres and has the vehicle's own axes
    set(this.body, [0.001, 0, 0, 0, 0, 0.001, 0, 0, 0, 0, 0.001, 0]);
    for (const part of [...this.body.children]) {
      const name = part.userData.name;
      part.object_id = `thing:${name}`;
      part.traverse((o) => { if (o.isMesh) o.material = new THREE.MeshPhongMaterial({ side: THREE.DoubleSide, shininess: 12 }); });
      this.things.set(name, part);
    }
    this.lines = new THREE.Group();
    this.body.add(this.lines);
    const below = new THREE.DirectionalLight(0xffffff, 1.1);
    below.position.set(-1, -2, -3);
    this.mesh.add(this.body, below);
    this.pose(state.pose);
    this.points(state.points);
    this.stand(state.bodies);
    this.paint(state.paint);
    this.gaps(state.gaps);
    window.trialfitVehicle = this;
    return this.mesh;
  }
  pose(rows) {
    for (const [name, m] of rows) if (this.things.has(name)) set(this.things.get(name), m);
  }
  paint(rows) {
    for (const [name, colour, opacity] of rows) {
      this.things.get(name)?.traverse((o) => {
        if (!o.isMesh) return;
        o.material.color.set(colour);
        o.material.opacity = opacity;
        o.material.transparent = opacity < 1;
        o.material.depthWrite = opacity === 1;
        o.material.needsUpdate = true;
      });
    }
  }
  points(groups) {
    for (const group of this.bodies.values()) group.removeFromParent();
    this.bodies.clear();
    for (const [body, colour, opacity, rows] of groups) {
      const group = new THREE.Group();
      const material = new THREE.MeshPhongMaterial({ color: colour, opacity, transparent: opacity < 1 });
      for (const [name, m, strong] of rows) {
        const seen = new THREE.Mesh(ball, strong ? new THREE.MeshPhongMaterial({ color: strong }) : material);
        set(seen, m);
        const pick = new THREE.Mesh(ball, material);
        set(pick, [PICK_MM, 0, 0, m[3], 0, PICK_MM, 0, m[7], 0, 0, PICK_MM, m[11]]);
        pick.visible = false;
        seen.object_id = pick.object_id = `point:${name}`;
        group.add(seen, pick);
      }
      this.bodies.set(body, group);
      this.body.add(group);
    }
  }
  stand(rows) {
    for (const [body, m] of rows) if (this.bodies.has(body)) set(this.bodies.get(body), m);
  }
  gaps(rows) {
    for (const old of [...this.lines.children]) {
      old.traverse((o) => o.element?.remove());
      old.removeFromParent();
    }
    for (const { name, a, b, colour, text, wide } of rows) {
      const from = new THREE.Vector3(...a), to = new THREE.Vector3(...b), way = to.clone().sub(from);
      const group = new THREE.Group();
      const bar = (radius, material) => {
        const one = new THREE.Mesh(rod, material);
        one.position.copy(from).addScaledVector(way, 0.5);
        one.quaternion.setFromUnitVectors(new THREE.Vector3(0, 1, 0), way.lengthSq() > 0 ? way.clone().normalize() : new THREE.Vector3(0, 1, 0));
        one.scale.set(radius, Math.max(way.length(), 1), radius);
        one.object_id = `gap:${name}`;
        return one;
      };
      const shown = bar(wide, new THREE.MeshBasicMaterial({ color: colour, depthTest: false, transparent: true }));
      shown.renderOrder = 5;
      const pick = bar(PICK_MM, shown.material);
      pick.visible = false;
      group.add(shown, pick);
      if (text) {
        const outer = document.createElement("div"), inner = document.createElement("div");
        outer.className = "gapflag";
        inner.textContent = text;
        outer.appendChild(inner);
        const flag = new CSS2DObject(outer);
        flag.position.copy(shown.position);
        // near the right edge the figure stands at the left of its gap
        flag.onBeforeRender = (_renderer, _scene, camera) => {
          const at = new THREE.Vector3().setFromMatrixPosition(flag.matrixWorld).project(camera);
          outer.classList.toggle("left", at.x > 0);
        };
        group.add(flag);
      }
      this.lines.add(group);
    }
  }
  where(name) {
    const part = this.things.get(name);
    if (!part) return null;
    part.updateWorldMatrix(true, false);
    return part.matrixWorld.elements.slice();
  }
}
