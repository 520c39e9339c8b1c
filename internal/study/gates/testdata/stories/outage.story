     0.00 s  power on
     0.00 s      stop cyclone                                 rule 9
     0.00 s      open idle gate                               rule 5
     0.00 s      shut A gate                                  rule 3
     0.00 s      shut B gate                                  rule 3
    40.00 s  A on
    40.50 s      open A gate                                  rule 2
    40.50 s      shut idle gate                               rule 5
    42.00 s  A gate is open
    42.00 s      run cyclone                                  rule 2
    42.00 s  idle gate is shut
    45.00 s      lamp: ready                                  rule 2
    60.00 s  link lost
    60.00 s      alarm: the link to the devices is gone       rule 17
    60.00 s      alarm: a sensor gives no signal              rule 13
    60.00 s      lamp: wait                                   rule 2
    68.00 s      alarm: a machine runs without extraction     rule 11
    75.00 s  link back
    75.00 s      over: the link to the devices is gone        rule 17
    75.00 s      stop cyclone                                 rule 9
    75.00 s      open idle gate                               rule 5
    76.50 s  idle gate is open
    76.50 s      shut A gate                                  rule 3
    76.50 s      shut B gate                                  rule 3
    77.16 s      alarm: a machine ran before anybody saw it start rule 9
    78.00 s  A gate is shut
    85.16 s      alarm: a machine runs without extraction     rule 11
    90.00 s  A off
    92.00 s      over: a machine ran before anybody saw it start rule 9
    92.00 s      over: a machine runs without extraction      rule 11
    95.00 s  A on
    95.50 s      open A gate                                  rule 2
    97.00 s  A gate is open
    97.00 s      run cyclone                                  rule 2
    97.00 s      shut idle gate                               rule 3
    98.50 s  idle gate is shut
   100.00 s      lamp: ready                                  rule 2
   130.00 s  stall
   190.00 s  the run contact drops by itself
   220.00 s  the fan stands
   220.00 s  power back
   220.00 s      stop cyclone                                 rule 9
   220.00 s      open idle gate                               rule 5
   221.50 s  idle gate is open
   221.50 s      shut A gate                                  rule 3
   221.50 s      shut B gate                                  rule 3
   223.00 s  A gate is shut
   223.81 s      alarm: a machine ran before anybody saw it start rule 9
   231.81 s      alarm: a machine runs without extraction     rule 11
