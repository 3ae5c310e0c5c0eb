"""Short hand for shader nodes."""
from __future__ import annotations


class Nodes:
    """Builds one node tree; every method returns the output socket of a new node."""

    def __init__(self, tree):
        self.tree = tree
        tree.nodes.clear()

    def put(self, socket, value) -> None:
        if hasattr(value, 'is_linked'):
            self.tree.links.new(value, socket)
        elif hasattr(value, '__len__') and len(value) == 3 and socket.type == 'RGBA':
            socket.default_value = (*value, 1)
        else:
            socket.default_value = value

    def node(self, kind: str, settings: dict | None = None, **inputs):
        n = self.tree.nodes.new(kind)
        for key, value in (settings or {}).items():
            setattr(n, key, value)
        for key, value in inputs.items():
            self.put(n.inputs[key.replace('_', ' ')], value)
        return n

    def math(self, how: str, a, b=0.0, clamp: bool = False):
        n = self.node('ShaderNodeMath', {'operation': how, 'use_clamp': clamp})
        self.put(n.inputs[0], a)
        self.put(n.inputs[1], b)
        return n.outputs[0]

    def mix(self, share, a, b, how: str = 'MIX'):
        return self.node('ShaderNodeMixRGB', {'blend_type': how}, Fac=share, Color1=a, Color2=b).outputs[0]

    def step(self, value, low, high, to_low=0.0, to_high=1.0):
        """Smooth step from low to high."""
        n = self.node('ShaderNodeMapRange', {'interpolation_type': 'SMOOTHSTEP'}, Value=value)
        for key, v in (('From Min', low), ('From Max', high), ('To Min', to_low), ('To Max', to_high)):
            self.put(n.inputs[key], v)
        return n.outputs[0]

    def place(self, where, scale=(1, 1, 1), shift=(0, 0, 0), turn=(0, 0, 0)):
        return self.node('ShaderNodeMapping', None, Vector=where, Scale=scale, Location=shift, Rotation=turn).outputs[0]

    def noise(self, where, scale: float, detail: float = 6, roughness: float = 0.6, distortion: float = 0.0):
        return self.node('ShaderNodeTexNoise', None, Vector=where, Scale=scale, Detail=detail, Roughness=roughness, Distortion=distortion).outputs['Fac']

    def cells(self, where, scale: float, feature: str = 'F1', output: str = 'Distance', randomness: float = 1.0):
        return self.node('ShaderNodeTexVoronoi', {'feature': feature}, Vector=where, Scale=scale, Randomness=randomness).outputs[output]

    def bump(self, height, strength: float, distance: float, normal=None):
        n = self.node('ShaderNodeBump', None, Height=height, Strength=strength, Distance=distance)
        if normal is not None:
            self.put(n.inputs['Normal'], normal)
        return n.outputs[0]
