import {
  type Camera,
  LinearSRGBColorSpace,
  Mesh,
  OrthographicCamera,
  PlaneGeometry,
  type Scene,
  ShaderMaterial,
  type Texture,
  WebGLRenderer,
  WebGLRenderTarget,
} from 'three';
import { countBothSides, stencilBase } from './section.ts';
import { copyFragment, copyVertex } from './shaders.ts';

/** Samples a pixel of a smooth picture. */
const samples = 4;

/** Draws a scene onto its canvas: smooth, or cheaply while something moves. */
export interface CanvasPainter {
  readonly renderer: WebGLRenderer;
  /** CSS pixels. */
  setSize(width: number, height: number): void;
  /** `scale` is drawn pixels a pixel of the screen along an axis. */
  paint(scene: Scene, camera: Camera, smooth: boolean, scale: number): void;
  dispose(): void;
}

/**
 * Smoothing costs most of a software renderer's time, and a canvas has it either always or never. So
 * the canvas has none: a smooth picture is drawn beside it with several samples a pixel and copied,
 * a cheap one is drawn straight onto it. Throws when the browser has no WebGL.
 */
export function createCanvasPainter(): CanvasPainter {
  const renderer = new WebGLRenderer({ antialias: false, stencil: true });
  renderer.outputColorSpace = LinearSRGBColorSpace;
  countBothSides(renderer.getContext() as WebGL2RenderingContext);
  const beside = new WebGLRenderTarget(1, 1, { samples, stencilBuffer: true });
  const picture: { value: Texture } = { value: beside.texture };
  const copy = new Mesh(
    new PlaneGeometry(2, 2),
    new ShaderMaterial({
      vertexShader: copyVertex,
      fragmentShader: copyFragment,
      uniforms: { picture },
      depthTest: false,
      depthWrite: false,
    }),
  );
  copy.frustumCulled = false;
  const flat = new OrthographicCamera();
  let width = 1;
  let height = 1;

  return {
    renderer,
    setSize(nextWidth, nextHeight) {
      width = nextWidth;
      height = nextHeight;
      renderer.setSize(width, height, false);
    },
    paint(scene, camera, smooth, scale) {
      const ratio = window.devicePixelRatio * scale;
      if (renderer.getPixelRatio() !== ratio) renderer.setPixelRatio(ratio);
      renderer.state.buffers.stencil.setClear(stencilBase);
      if (!smooth) {
        renderer.render(scene, camera);
        return;
      }
      const { width: columns, height: rows } = renderer.domElement;
      if (beside.width !== columns || beside.height !== rows) beside.setSize(columns, rows);
      renderer.setRenderTarget(beside);
      renderer.render(scene, camera);
      renderer.setRenderTarget(null);
      renderer.render(copy, flat);
    },
    dispose() {
      beside.dispose();
      copy.geometry.dispose();
      copy.material.dispose();
      renderer.dispose();
      renderer.forceContextLoss();
      renderer.domElement.remove();
    },
  };
}
