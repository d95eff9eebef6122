# One library per folder of src/. A library may link only what src/layers.txt lets its folder include.

add_library(strandbook_flags INTERFACE)
target_include_directories(strandbook_flags INTERFACE ${PROJECT_SOURCE_DIR}/src)
target_compile_options(strandbook_flags INTERFACE
  -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wnon-virtual-dtor -Woverloaded-virtual -Werror)
if(CMAKE_CXX_COMPILER_ID STREQUAL GNU AND CMAKE_CXX_COMPILER_VERSION VERSION_LESS 13)
  # GCC 12 sees overlaps in "text" + std::string (GCC bug 105651) and unset members in std::variant (GCC bug
  # 105562) that are not there.
  target_compile_options(strandbook_flags INTERFACE -Wno-restrict -Wno-maybe-uninitialized)
endif()

# strandbook_library(FOLDER LINKS ...): library of src/FOLDER, and the test program of its *_test.cpp files, started
# by TEST_WITH where one is given.
function(strandbook_library folder)
  cmake_parse_arguments(arg "" "" "LINKS;TEST_LINKS;TEST_WITH" ${ARGN})
  string(REPLACE "/" "_" name ${folder})
  set(root ${PROJECT_SOURCE_DIR}/src/${folder})
  file(GLOB sources CONFIGURE_DEPENDS ${root}/*.cpp)
  set(tests ${sources})
  list(FILTER sources EXCLUDE REGEX "_test\\.cpp$")
  list(FILTER tests INCLUDE REGEX "_test\\.cpp$")
  if(sources)
    add_library(${name} STATIC ${sources})
    target_link_libraries(${name} PUBLIC strandbook_flags ${arg_LINKS})
    # A batch includes its sources, which the linter would take for a slip.
    set_target_properties(${name} PROPERTIES
      UNITY_BUILD_CODE_BEFORE_INCLUDE "// NOLINTNEXTLINE(bugprone-suspicious-include)")
    set_property(GLOBAL APPEND PROPERTY STRANDBOOK_LINTED ${name})
  else()
    add_library(${name} INTERFACE)
    target_link_libraries(${name} INTERFACE strandbook_flags ${arg_LINKS})
  endif()
  if(tests AND STRANDBOOK_TESTS)
    add_executable(${name}_test ${tests})
    target_link_libraries(${name}_test PRIVATE ${name} ${arg_TEST_LINKS} GTest::gtest_main rapidcheck)
    target_compile_definitions(${name}_test PRIVATE
      STRANDBOOK_ROOT="${PROJECT_SOURCE_DIR}")
    add_test(NAME ${name} COMMAND ${arg_TEST_WITH} $<TARGET_FILE:${name}_test>
      WORKING_DIRECTORY ${PROJECT_SOURCE_DIR})
    set_tests_properties(${name} PROPERTIES
      ENVIRONMENT "LSAN_OPTIONS=suppressions=${PROJECT_SOURCE_DIR}/tests/leaks-of-libraries.txt:print_suppressions=0")
  endif()
endfunction()

# strandbook_compiled_units(TARGET): sets unit_0 to unit_<last_unit>, the files that the compiler is given for a
# target (sources, or batches of them), and sources_of_<n>, the sources in each.
function(strandbook_compiled_units target)
  get_target_property(sources ${target} SOURCES)
  # Texts that were made into code have options of their own and are compiled by themselves.
  list(FILTER sources EXCLUDE REGEX "^${PROJECT_BINARY_DIR}/")
  get_target_property(in_batches ${target} UNITY_BUILD)
  list(LENGTH sources count)
  set(batch 1)
  if(in_batches)
    get_target_property(batch ${target} UNITY_BUILD_BATCH_SIZE)
  endif()
  if(batch EQUAL 0)  # all in one
    set(batch ${count})
  endif()
  math(EXPR last "(${count} - 1) / ${batch}")
  set(last_unit ${last} PARENT_SCOPE)
  foreach(number RANGE ${last})
    math(EXPR first "${number} * ${batch}")
    list(SUBLIST sources ${first} ${batch} files)
    set(sources_of_${number} ${files} PARENT_SCOPE)
    set(unit ${files})
    if(in_batches)
      get_target_property(folder ${target} BINARY_DIR)
      set(unit ${folder}/CMakeFiles/${target}.dir/Unity/unity_${number}_cxx.cxx)
    endif()
    set(unit_${number} ${unit} PARENT_SCOPE)
  endforeach()
endfunction()
