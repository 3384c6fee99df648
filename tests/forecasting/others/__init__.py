"""Two more kinds of simulated heaps to train and judge on. They share no equation with the service nor with each other.

- `coarse`: two zones, one pool that rots ever more slowly, a bell over temperature, drying that stops rot;
- `plane`: a layered bed with draught from the foot, microbes that grow on what they dissolve, air used up on its way.
"""
