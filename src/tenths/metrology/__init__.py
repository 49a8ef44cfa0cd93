"""How sure a number is: instruments, uncertainty by cause, decisions, gauge studies, form and slips.

Import from the modules themselves: nothing is imported here, so that a command which needs one verdict does not pay
for the rest. Nothing on the path from a reading to a verdict needs numpy; scipy is never imported at the top.

    estimate      a value with its causes of error, and how a formula carries them (GUM)
    instrument    records of instruments, and the estimate that a reading with one of them gives
    templates     instruments as they are commonly found, for a shop that has no certificates yet
    thermal       reduction to the reference temperature of 20 degC
    typea         what repeated readings and fitted lines say about their own doubt
    coverage      degrees of freedom, coverage factor, expanded uncertainty
    decide        probability of conforming, decision rules, verdicts (JCGM 106, ISO 14253-1)
    risk          how many bad ones pass and good ones fail, over a run of engines
    joint         probability that several findings with common causes all conform
    montecarlo    distributions carried by trial, with adaptive stopping (JCGM 101)
    method        which of the three ways a finding needs, and why
    budget        what a number's doubt is made of, and what would help most
    studies       gauge repeatability and reproducibility, bias, linearity, stability
    slips         gross mistakes that would explain an odd reading
    distributions the normal, Student's and the variance ratio, without scipy
    form          roundness, taper, straightness, flatness, parallelism
"""
