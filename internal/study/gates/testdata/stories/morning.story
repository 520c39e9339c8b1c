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
    70.00 s  A off
    72.00 s      lamp: wait                                   rule 2
    75.00 s  B on
    75.50 s      open B gate                                  rule 2
    77.00 s  B gate is open
    77.00 s      lamp: ready                                  rule 2
    87.00 s      shut A gate                                  rule 3
    88.50 s  A gate is shut
   100.00 s  A on
   100.50 s      open A gate                                  rule 2
   100.50 s      lamp: wait                                   rule 2
   102.00 s  A gate is open
   102.00 s      lamp: ready                                  rule 2
   120.00 s  A off
   130.00 s  B off
   132.00 s      lamp: wait                                   rule 2
   152.00 s      shut A gate                                  rule 3
   153.50 s  A gate is shut
   162.00 s      open idle gate                               rule 5
   162.00 s      stop cyclone                                 rule 4
   163.50 s  idle gate is open
   163.50 s      shut B gate                                  rule 3
   165.00 s  B gate is shut
   192.00 s  the fan stands
