"""How loud is the siren, where, and what does it do to the crew's hearing?

In: measured levels and their distance, octave bands, hours at a level.
Out: level at a distance, sums of bands, daily dose by each published rule.
Has no opinion: limits live in the rule packs, exposure rules carry their source.
"""
