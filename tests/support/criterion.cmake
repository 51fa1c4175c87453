# SPDX-License-Identifier: MIT
# One Criterion program a subject: whyfit_criterion(name sources…).
function(whyfit_criterion name)
  add_executable(${name} ${ARGN})
  target_link_libraries(${name} PRIVATE whyfit_inside PkgConfig::CRITERION)
  # Criterion's macros are not written for our warnings.
  target_compile_options(${name} PRIVATE -Wno-pedantic -Wno-missing-prototypes
    -Wno-conversion -Wno-sign-conversion -Wno-shadow -Wno-switch-enum)
  whyfit_test(${name} ${name} --color=never)
endfunction()
