"""Is the vehicle seen, from every side, in each situation?

In: poses, candela tables, flash waves, glass, the body's mesh.
Out: intensity toward each direction and point, shadows, glare, notice; the worst case and its place.
Has no opinion: limits live in the rule packs.
"""
