# The libraries of others in the programs: name, version, licence (an SPDX name), programs. One list
# for --version, which must say what a program was built with and under which terms it may be passed on.
file(STRINGS ${xlsxwriter_INCLUDEDIR}/xlsxwriter.h xlsxwriter_release REGEX "define LXW_VERSION ")
string(REGEX REPLACE ".*\"(.*)\".*" "\\1" xlsxwriter_release "${xlsxwriter_release}")  # pkg-config has the ABI's number
pkg_check_modules(clp REQUIRED clp)  # comes with CBC, and the planner is linked to it too
set(MASTLINE_PARTS)
if(MASTLINE_STILLS)
  # pkg-config has the numbers of FFmpeg's libraries, not that of its release. The licence is that of Debian's build.
  file(STRINGS ${avutil_INCLUDEDIR}/libavutil/ffversion.h ffmpeg_release REGEX "define FFMPEG_VERSION ")
  string(REGEX REPLACE ".*\"([0-9.]+).*" "\\1" ffmpeg_release "${ffmpeg_release}")
  list(APPEND MASTLINE_PARTS
    "FFmpeg (libavcodec, libavutil, libswscale)|${ffmpeg_release}|GPL-2.0-or-later|still"
    "libseccomp|${seccomp_VERSION}|LGPL-2.1-only|still")
endif()
list(APPEND MASTLINE_PARTS
  "Boost (Asio, Beast)|${Boost_VERSION_STRING}|BSL-1.0|planner probe"
  "CBC|${cbc_VERSION}|EPL-2.0|planner"
  "Clp|${clp_VERSION}|EPL-2.0|planner"
  "CLI11|${CLI11_VERSION}|BSD-3-Clause|planner probe rehearse"
  "Eigen|${Eigen3_VERSION}|MPL-2.0|planner"
  "fmt|${fmt_VERSION}|MIT|planner probe rehearse"
  "JSON for Modern C++|${nlohmann_json_VERSION}|MIT|planner probe rehearse"
  "libjpeg-turbo|${turbojpeg_VERSION}|BSD-3-Clause AND IJG AND Zlib|probe"
  "libpcap|${pcap_VERSION}|BSD-3-Clause|probe"
  "libxlsxwriter|${xlsxwriter_release}|BSD-2-Clause|planner"
  "pugixml|${pugixml_VERSION}|MIT|planner probe"
  "toml++|${tomlplusplus_VERSION}|MIT|planner probe rehearse"
  "zlib|${ZLIB_VERSION_STRING}|Zlib|probe"
  "Zstandard|${zstd_VERSION}|BSD-3-Clause|probe")

# The day of the release, as the manual pages tell it: that of the newest entry of the changelog.
file(STRINGS ${PROJECT_SOURCE_DIR}/tools/packaging/changelog released REGEX "^ -- " LIMIT_COUNT 1)
string(REGEX MATCH ", ([0-9]+) ([A-Z][a-z][a-z]) ([0-9]+) " released "${released}")
string(FIND "JanFebMarAprMayJunJulAugSepOctNovDec" "${CMAKE_MATCH_2}" month)
math(EXPR month "100 + ${month} / 3 + 1")
string(SUBSTRING ${month} 1 2 month)
set(MASTLINE_RELEASE_DATE ${CMAKE_MATCH_3}-${month}-${CMAKE_MATCH_1})

# Gives the target's main.cpp "version_text.hpp": kVersionText, what --version prints; further arguments are lines
# at its end.
function(mastline_version_text target)
  set(text "${target} ${PROJECT_VERSION}, Apache-2.0\nBuilt with:")
  foreach(part ${MASTLINE_PARTS})
    string(REPLACE "|" ";" part "${part}")
    list(GET part 0 name)
    list(GET part 1 version)
    list(GET part 2 licence)
    list(GET part 3 programs)
    string(REPLACE "mastline-" "" program ${target})
    if(NOT " ${programs} " MATCHES " ${program} ")
      continue()
    endif()
    if(NOT version)
      message(FATAL_ERROR "no version of ${name} is known")
    endif()
    string(APPEND text "\n  ${name} ${version}, ${licence}")
  endforeach()
  foreach(line IN LISTS ARGN)
    string(APPEND text "\n${line}")
  endforeach()
  configure_file(${PROJECT_SOURCE_DIR}/tools/packaging/version_text.hpp.in version_text.hpp @ONLY)
  set_source_files_properties(main.cpp PROPERTIES INCLUDE_DIRECTORIES ${CMAKE_CURRENT_BINARY_DIR})
endfunction()

# Installs the target's manual page, as the program itself tells it.
function(mastline_manual target)
  set(page ${CMAKE_CURRENT_BINARY_DIR}/${target}.1)
  add_custom_command(TARGET ${target} POST_BUILD COMMAND ${target} --manual > ${page} VERBATIM)
  install(FILES ${page} DESTINATION ${CMAKE_INSTALL_MANDIR}/man1)
endfunction()

# Installs what each shell completes for the target, as the program itself tells.
function(mastline_completion target)
  foreach(place bash-completion/completions/${target} zsh/vendor-completions/_${target} fish/vendor_completions.d/${target}.fish)
    string(REGEX MATCH "^[a-z]+" shell ${place})
    set(script ${CMAKE_CURRENT_BINARY_DIR}/completion/${place})
    cmake_path(GET script PARENT_PATH folder)
    file(MAKE_DIRECTORY ${folder})
    add_custom_command(TARGET ${target} POST_BUILD COMMAND ${target} --completion ${shell} > ${script} VERBATIM)
    cmake_path(GET place PARENT_PATH below)
    install(FILES ${script} DESTINATION ${CMAKE_INSTALL_DATADIR}/${below})
  endforeach()
endfunction()
