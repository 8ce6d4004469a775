"""How does a controller that isn't ours do what the build says?

In: the model of a build.
Out: one step written out as a plain program (`program`), and that program as Structured Text, as JSON and as an
ES module; each is read back and proved to say the same before it is handed over (`proof`).
"""
